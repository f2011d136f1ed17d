-- What a person typed in place of what a row said.
-- $1 farm bigint, $2 receipt bigint, $3 line integer, $4 col integer, $5 what text, $6 typed text
-- returns nothing
insert into set_aside_typed (farm_id, receipt, line, col, what, typed)
values ($1::bigint, $2::bigint, $3::int, $4::int, $5::text, $6::text);

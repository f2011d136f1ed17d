-- A second person saw what was answered of a row set aside.
-- $1 farm bigint, $2 receipt bigint, $3 line integer, $4 col integer, $5 person text, $6 seen_at timestamptz
-- returns nothing
insert into set_aside_seen (farm_id, receipt, line, col, person, seen_at)
values ($1::bigint, $2::bigint, $3::int, $4::int, $5::text, $6::timestamptz);

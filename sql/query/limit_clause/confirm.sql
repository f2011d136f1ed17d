-- A person compared a clause with the licence, and what its figures are worked out with as the farm file has it.
-- $1 farm bigint, $2 clause text, $3 version integer, $4 person text, $5 confirmed_at timestamptz, $6 farm_file integer
-- returns nothing
insert into limit_confirmed (farm_id, clause, version, person, confirmed_at, farm_file)
values ($1::bigint, $2::text, $3::int, $4::text, $5::timestamptz, $6::int)
on conflict do nothing;

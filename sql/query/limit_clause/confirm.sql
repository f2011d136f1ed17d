-- A person compared a clause with the licence.
-- $1 farm bigint, $2 clause text, $3 version integer, $4 person text, $5 confirmed_at timestamptz
-- returns nothing
insert into limit_confirmed (farm_id, clause, version, person, confirmed_at)
values ($1::bigint, $2::text, $3::int, $4::text, $5::timestamptz)
on conflict do nothing;

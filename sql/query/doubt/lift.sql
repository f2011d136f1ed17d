-- A mark holds no longer.
-- $1 farm bigint, $2 mark integer, $3 reason text, $4 person text, $5 lifted_at timestamptz
-- returns nothing
insert into doubt_lift (farm_id, mark, reason, person, lifted_at)
values ($1::bigint, $2::integer, $3::text, $4::text, $5::timestamptz);

-- A visit that was written down wrongly.
-- $1 farm bigint, $2 visit integer, $3 reason text, $4 person text, $5 at timestamptz
-- returns nothing
insert into probe_withdrawn (farm_id, visit, reason, person, at)
values ($1::bigint, $2::int, $3::text, $4::text, $5::timestamptz);

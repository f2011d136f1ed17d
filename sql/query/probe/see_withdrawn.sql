-- A second person saw that a visit was withdrawn.
-- $1 farm bigint, $2 visit integer, $3 person text, $4 seen_at timestamptz
-- returns nothing
insert into probe_withdrawn_seen (farm_id, visit, person, seen_at)
values ($1::bigint, $2::int, $3::text, $4::timestamptz);

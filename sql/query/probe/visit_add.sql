-- A visit to an instrument, numbered after those before it.
-- $1 farm bigint, $2 instrument text, $3 at timestamptz, $4 maintenance text, $5 note text, $6 person text, $7 recorded_at timestamptz
-- returns rows: visit integer
insert into probe_visit (farm_id, visit, instrument, at, maintenance, note, person, recorded_at)
select $1::bigint, coalesce(max(visit), 0) + 1, $2::text, $3::timestamptz, $4::text, $5::text,
       $6::text, $7::timestamptz
  from probe_visit
 where farm_id = $1::bigint
returning visit;

-- The newest reading of a series, unless a newer one is already there.
-- $1 farm bigint, $2 series_id bigint, $3 at timestamptz, $4 qualifier "char", $5 reported numeric, $6 unit text
-- returns nothing
insert into series_latest as old (farm_id, series_id, at, qualifier, reported, unit)
values ($1::bigint, $2::bigint, $3::timestamptz, $4::"char", $5::numeric, $6::text)
on conflict (farm_id, series_id) do update
   set at = excluded.at, qualifier = excluded.qualifier, reported = excluded.reported,
       unit = excluded.unit
 where old.at <= excluded.at;

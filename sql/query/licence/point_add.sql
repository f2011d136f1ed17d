-- The authority's own name for one of our stations.
-- $1 farm bigint, $2 licence text, $3 version integer, $4 station text, $5 called text
-- returns nothing
insert into licence_point (farm_id, licence, version, station, called)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text);

-- A position at a station.
-- $1 farm bigint, $2 station text, $3 version integer, $4 position text, $5 name text
-- returns nothing
insert into station_position (farm_id, station, version, position, name)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text);

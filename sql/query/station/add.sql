-- A station as the farm file has it now.
-- $1 farm bigint, $2 station text, $3 version integer, $4 name text, $5 kind text, $6 gone boolean, $7 definition text
-- returns nothing
with base as (
    insert into station (farm_id, station) values ($1::bigint, $2::text) on conflict do nothing)
insert into station_version (farm_id, station, version, name, kind, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::boolean, $7::text);

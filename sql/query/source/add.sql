-- Where data come from, as the farm file has it now.
-- $1 farm bigint, $2 source text, $3 version integer, $4 name text, $5 shape text, $6 gone boolean, $7 definition text
-- returns nothing
with base as (
    insert into source (farm_id, source) values ($1::bigint, $2::text) on conflict do nothing)
insert into source_version (farm_id, source, version, name, shape, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::boolean, $7::text);

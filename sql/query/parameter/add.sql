-- A parameter that the farm uses, built in or its own.
-- $1 farm bigint, $2 parameter text, $3 version integer, $4 name text, $5 kind text, $6 matrix text, $7 basis text, $8 unit text, $9 gone boolean, $10 definition text
-- returns nothing
with base as (
    insert into parameter (farm_id, parameter) values ($1::bigint, $2::text)
    on conflict do nothing)
insert into parameter_version (farm_id, parameter, version, name, kind, matrix, basis, unit, gone,
                               definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::text, $7::text, $8::text,
        $9::boolean, $10::text);

-- A clause about how often to sample, as the farm file has it now.
-- $1 farm bigint, $2 clause text, $3 version integer, $4 place integer, $5 licence text, $6 station text, $7 shape text, $8 in_force_from date, $9 in_force_to date, $10 change text, $11 gone boolean, $12 definition text
-- returns nothing
with base as (
    insert into interval_clause (farm_id, clause) values ($1::bigint, $2::text)
    on conflict do nothing)
insert into interval_version (farm_id, clause, version, place, licence, station, shape,
                              in_force_from, in_force_to, change, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::int, $5::text, $6::text, $7::text, $8::date, $9::date,
        $10::text, $11::boolean, $12::text);

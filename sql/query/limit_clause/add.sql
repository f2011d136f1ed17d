-- A clause about a value, as the farm file has it now.
-- $1 farm bigint, $2 clause text, $3 version integer, $4 place integer, $5 licence text, $6 station text, $7 parameter text, $8 unit text, $9 statistic text, $10 period text, $11 in_force_from date, $12 in_force_to date, $13 change text, $14 gone boolean, $15 definition text
-- returns nothing
with base as (
    insert into limit_clause (farm_id, clause) values ($1::bigint, $2::text)
    on conflict do nothing)
insert into limit_version (farm_id, clause, version, place, licence, station, parameter, unit,
                           statistic, period, in_force_from, in_force_to, change, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::int, $5::text, $6::text, $7::text, $8::text, $9::text,
        $10::text, $11::date, $12::date, $13::text, $14::boolean, $15::text);

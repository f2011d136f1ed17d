-- A series, when the farm does not have it yet.
-- $1 farm bigint, $2 series_id bigint, $3 station text, $4 position text, $5 parameter text, $6 matrix text, $7 method text, $8 made_by text, $9 kind text
-- returns nothing
insert into series (farm_id, series_id, station, position, parameter, matrix, method, made_by, kind)
values ($1::bigint, $2::bigint, $3::text, $4::text, $5::text, $6::text, $7::text, $8::text,
        $9::text)
on conflict (farm_id, series_id) do nothing;

-- When the farm's first file was loaded, and the newest version that changed what is judged by.
-- $1 farm bigint
-- returns rows: loaded_at bigint, changed integer
select (select us(min(loaded_at)) from farm_file where farm_id = $1::bigint),
       greatest((select max(version) from limit_version where farm_id = $1::bigint),
                (select max(version) from interval_version where farm_id = $1::bigint),
                (select max(version) from licence_version where farm_id = $1::bigint));

-- What turns a running meter's readings into volumes.
-- $1 farm bigint, $2 station text, $3 parameter text, $4 version integer, $5 size numeric, $6 multiplier numeric, $7 most_per_day numeric, $8 share_over_days boolean, $9 gone boolean, $10 definition text
-- returns nothing
insert into counter_version (farm_id, station, parameter, version, size, multiplier, most_per_day,
                             share_over_days, gone, definition)
values ($1::bigint, $2::text, $3::text, $4::int, $5::numeric, $6::numeric, $7::numeric,
        $8::boolean, $9::boolean, $10::text);

-- Water from station to station, as the farm file has it now.
-- $1 farm bigint, $2 from_station text, $3 to_station text, $4 since date, $5 version integer, $6 until date, $7 returned_share numeric, $8 gone boolean, $9 definition text
-- returns nothing
insert into flow_path (farm_id, from_station, to_station, since, version, until, returned_share,
                       gone, definition)
values ($1::bigint, $2::text, $3::text, $4::date, $5::int, $6::date, $7::numeric, $8::boolean,
        $9::text);

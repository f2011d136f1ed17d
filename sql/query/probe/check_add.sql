-- What was read of a parameter at a visit, and what it came to.
-- $1 farm bigint, $2 visit integer, $3 parameter text, $4 unit text, $5 before_cleaning numeric, $6 after_cleaning numeric, $7 meter text, $8 meter_before numeric, $9 meter_after numeric, $10 fouling numeric, $11 drift numeric, $12 found text, $13 left_so text, $14 calibrated boolean, $15 rating text, $16 criteria text
-- returns nothing
insert into probe_check (farm_id, visit, parameter, unit, before_cleaning, after_cleaning, meter,
                         meter_before, meter_after, fouling, drift, found, left_so, calibrated,
                         rating, criteria)
values ($1::bigint, $2::int, $3::text, $4::text, $5::numeric, $6::numeric, $7::text, $8::numeric,
        $9::numeric, $10::numeric, $11::numeric, $12::text, $13::text, $14::boolean, $15::text,
        $16::text);

-- What was read at every visit, by visit and parameter.
-- $1 farm bigint
-- returns rows: visit integer, parameter text, unit text, before_cleaning text, after_cleaning text, meter text, meter_before text, meter_after text, fouling text, drift text, found text, left_so text, calibrated boolean, rating text, criteria text
select visit, parameter::text, unit, before_cleaning::text, after_cleaning::text, meter,
       meter_before::text, meter_after::text, fouling::text, drift::text, found, left_so,
       calibrated, rating, criteria
  from probe_check
 where farm_id = $1::bigint
 order by visit, parameter collate "C";

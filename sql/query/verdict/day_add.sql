-- The days of a verdict.
-- $1 farm bigint, $2 clause text, $3 from_day date, $4 to_day date, $5 days jsonb
-- returns nothing
insert into verdict_day (farm_id, clause, from_day, to_day, day, readings, beyond, figure,
                         discharge, note)
select $1::bigint, $2::text, $3::date, $4::date, d.day, d.readings, d.beyond, d.figure,
       d.discharge, d.note
  from jsonb_to_recordset($5::jsonb)
    as d (day date, readings int, beyond int, figure text, discharge text, note text);

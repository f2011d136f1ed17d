-- Days of verdicts on which something lay beyond the bound.
-- $1 farm bigint, $2 days jsonb
-- returns nothing
insert into verdict_day (farm_id, clause, from_day, to_day, day, readings, beyond, figure,
                         discharge, note)
select $1::bigint, d.clause, d.from_day, d.to_day, d.day, d.readings, d.beyond, d.figure,
       d.discharge, d.note
  from jsonb_to_recordset($2::jsonb)
    as d (clause text, from_day date, to_day date, day date, readings int, beyond int,
          figure text, discharge text, note text);

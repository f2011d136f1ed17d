-- Days of verdicts on which something lay beyond the bound, each column an array.
-- $1 farm bigint, $2 clause text[], $3 from_day date[], $4 to_day date[], $5 day date[], $6 readings integer[], $7 beyond integer[], $8 figure text[], $9 discharge text[], $10 note text[]
-- returns nothing
insert into verdict_day (farm_id, clause, from_day, to_day, day, readings, beyond, figure,
                         discharge, note)
select $1::bigint, d.clause, d.from_day, d.to_day, d.day, d.readings, d.beyond, d.figure,
       d.discharge, d.note
  from unnest($2::text[], $3::date[], $4::date[], $5::date[], $6::int[], $7::int[], $8::text[],
              $9::text[], $10::text[])
    as d (clause, from_day, to_day, day, readings, beyond, figure, discharge, note);

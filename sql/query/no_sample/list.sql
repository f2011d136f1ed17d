-- Reasons for no sample, the newest for each day.
-- $1 farm bigint
-- returns rows: clause text, day date, reason text, explanation text, person text
select distinct on (clause, day) clause::text, day, reason, explanation, person::text
  from no_sample
 where farm_id = $1::bigint
 order by clause, day, nth desc;

-- Months whose windows of last samples, or of runs, a span of days touches; also those that lacked samples and end after it.
-- $1 farm bigint, $2 clause text, $3 first_day date, $4 last_day date
-- returns rows: from_day date
select distinct from_day
  from verdict_window
 where farm_id = $1::bigint
   and clause = $2::text
   and last_day >= $3::date
   and (first_day <= $4::date or too_few)
 order by from_day;

-- Whether anything that waits touches a span of days.
-- $1 farm bigint, $2 first_day date, $3 last_day date
-- returns rows: waiting bigint
select count(*)
  from to_judge
 where farm_id = $1::bigint
   and first_day <= $3::date
   and last_day >= $2::date;

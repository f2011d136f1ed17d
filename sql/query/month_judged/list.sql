-- Months that were judged in full, oldest first.
-- $1 farm bigint
-- returns rows: month date, judged_at bigint, farm_file integer
select month, us(judged_at), farm_file
  from month_judged
 where farm_id = $1::bigint
 order by month;

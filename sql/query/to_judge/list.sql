-- Windows that wait to be judged.
-- $1 farm bigint
-- returns rows: ticket text, series_id bigint, station text, parameter text, first_day date, last_day date
select ticket::text, series_id, station, parameter, first_day, last_day
  from to_judge
 where farm_id = $1::bigint
 order by first_day, station, parameter, ticket;

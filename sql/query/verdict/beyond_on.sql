-- How much of a clause lay beyond its bound on a day, as it was last judged.
-- $1 farm bigint, $2 clause text, $3 day date
-- returns rows: beyond bigint
select coalesce(sum(beyond), 0)::bigint
  from verdict_day
 where farm_id = $1::bigint
   and clause = $2::text
   and day = $3::date;

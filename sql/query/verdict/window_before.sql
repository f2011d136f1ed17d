-- Whether the last window of a clause that ended before a day was outside, as it was last judged.
-- $1 farm bigint, $2 clause text, $3 day date
-- returns rows: outside boolean
select standing = 'outside'
  from verdict_window
 where farm_id = $1::bigint
   and clause = $2::text
   and last_day < $3::date
 order by last_day desc, until_at desc
 limit 1;

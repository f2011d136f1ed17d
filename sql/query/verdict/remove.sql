-- Verdicts of a clause that lie in a span, before they are worked out again.
-- $1 farm bigint, $2 clause text, $3 from_day date, $4 to_day date
-- returns nothing
delete from verdict
 where farm_id = $1::bigint
   and clause = $2::text
   and from_day >= $3::date
   and to_day <= $4::date;

-- What became of an interval in a span, before it is worked out again.
-- $1 farm bigint, $2 clause text, $3 from_day date, $4 to_day date
-- returns nothing
delete from lapse
 where farm_id = $1::bigint
   and clause = $2::text
   and due_day >= $3::date
   and due_day <= $4::date;

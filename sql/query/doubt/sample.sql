-- Where and when a sample was taken.
-- $1 farm bigint, $2 sample text
-- returns rows: taken_from bigint, taken_until bigint
select us(taken_from), us(taken_until)
  from sample
 where farm_id = $1::bigint
   and sample = $2::text;

-- The civil months that could hold a verdict: from the first reading received to the last.
-- $1 farm bigint
-- returns rows: first_at bigint, last_at bigint
select us(min(first_at)), us(max(last_at))
  from receipt
 where farm_id = $1::bigint
   and stored > 0;

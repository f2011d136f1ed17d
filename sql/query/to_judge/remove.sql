-- Windows that were judged in this transaction.
-- $1 farm bigint, $2 tickets uuid[]
-- returns nothing
delete from to_judge
 where farm_id = $1::bigint
   and ticket = any ($2::uuid[]);

-- How many batches of readings a receipt has.
-- $1 farm bigint, $2 receipt bigint
-- returns rows: batches bigint
select count(*)
  from receipt_batch
 where farm_id = $1::bigint and receipt = $2::bigint;

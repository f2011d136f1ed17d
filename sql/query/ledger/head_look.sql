-- The head of the farm's ledger, not locked.
-- $1 farm bigint
-- returns rows: sequence bigint, hash bytea, at bigint
select sequence, hash::bytea, us(at)
  from ledger_head
 where farm_id = $1::bigint;

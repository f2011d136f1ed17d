-- Every entry of the ledger in order.
-- $1 farm bigint
-- returns rows: sequence bigint, at timestamptz, kind text, person text, bytes bytea, hash bytea
select sequence, at, kind, person, bytes, hash::bytea
  from ledger
 where farm_id = $1::bigint
 order by sequence;

-- The stored rows of the receipt in the order of the file, for the ledger's leaves.
-- $1 farm bigint
-- returns rows: series_id bigint, at timestamptz, until timestamptz, portion bigint, qualifier "char", reported numeric, unit text, line integer, col integer
select series_id, at, until, portion, qualifier, reported, unit, line, col
  from staged
 where farm_id = $1::bigint
   and answer is null
 order by line, col;

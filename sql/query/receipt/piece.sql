-- One piece of the original bytes.
-- $1 farm bigint, $2 receipt bigint, $3 piece integer
-- returns rows: bytes bytea
select bytes
  from receipt_piece
 where farm_id = $1::bigint and receipt = $2::bigint and piece = $3::int;

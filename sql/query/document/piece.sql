-- One piece of a document's bytes.
-- $1 farm bigint, $2 document bigint, $3 piece integer
-- returns rows: bytes bytea
select bytes
  from document_piece
 where farm_id = $1::bigint and document = $2::bigint and piece = $3::int;

-- The document of these very bytes.
-- $1 farm bigint, $2 sha256 bytea
-- returns rows: document bigint
select document
  from document
 where farm_id = $1::bigint and sha256 = $2::bytea;

-- Every document, newest first.
-- $1 farm bigint
-- returns rows: document bigint, name text, kind text, sha256 bytea, byte_count bigint, received_at bigint, person text
select document, name, kind, sha256, byte_count, us(received_at), person::text
  from document
 where farm_id = $1::bigint
 order by document desc;

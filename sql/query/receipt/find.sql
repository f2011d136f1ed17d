-- The receipt of these very bytes from this source, if there is one.
-- $1 farm bigint, $2 source text, $3 sha256 bytea
-- returns rows: receipt bigint, file_name text, received_at bigint, person text, values_in bigint, stored bigint, already_known bigint, blank bigint, set_aside bigint
select receipt, file_name, us(received_at), person::text, values_in, stored, already_known, blank,
       set_aside
  from receipt
 where farm_id = $1::bigint and source = $2::text and sha256 = $3::bytea;

-- Files received, newest first.
-- $1 farm bigint
-- returns rows: receipt bigint, source text, file_name text, sha256 bytea, byte_count bigint, received_at bigint, person text, values_in bigint, stored bigint, already_known bigint, blank bigint, set_aside bigint, first_at bigint, last_at bigint
select receipt, source::text, file_name, sha256::bytea, byte_count, us(received_at), person::text,
       values_in, stored, already_known, blank, set_aside, us(first_at), us(last_at)
  from receipt
 where farm_id = $1::bigint
 order by received_at desc, receipt;

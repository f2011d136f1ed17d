-- A document, under the next number of the farm.
-- $1 farm bigint, $2 name text, $3 kind text, $4 sha256 bytea, $5 byte_count bigint, $6 received_at timestamptz, $7 person text
-- returns rows: document bigint
insert into document (farm_id, document, name, kind, sha256, byte_count, received_at, person)
select $1::bigint, coalesce(max(document), 0) + 1, $2::text, $3::text, $4::bytea, $5::bigint,
       $6::timestamptz, $7::text
  from document
 where farm_id = $1::bigint
returning document;

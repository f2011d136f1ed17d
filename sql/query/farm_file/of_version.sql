-- One loading of the farm file.
-- $1 farm bigint, $2 version integer
-- returns rows: version integer, sha256 bytea, bytes bytea, person text, loaded_at bigint
select version, sha256::bytea, bytes, person, us(loaded_at)
  from farm_file
 where farm_id = $1::bigint and version = $2::int;

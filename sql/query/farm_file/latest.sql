-- The farm file in force: the newest version.
-- $1 farm bigint
-- returns rows: version integer, sha256 bytea, bytes bytea, person text, loaded_at bigint
select version, sha256::bytea, bytes, person, us(loaded_at)
  from farm_file
 where farm_id = $1::bigint
 order by version desc
 limit 1;

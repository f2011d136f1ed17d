-- Every form each interval ever had, oldest first.
-- $1 farm bigint
-- returns rows: clause text, version integer, change text, gone boolean, definition text
select clause::text, version, change, gone, definition
  from interval_version
 where farm_id = $1::bigint
 order by clause, version;

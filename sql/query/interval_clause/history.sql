-- Every form each interval ever had, oldest first. Nobody is asked to compare an interval.
-- $1 farm bigint
-- returns rows: clause text, version integer, change text, gone boolean, confirmed bigint, compared integer, definition text
select clause::text, version, change, gone, 0::bigint, 0::int, definition
  from interval_version
 where farm_id = $1::bigint
 order by clause, version;

-- Every series of the farm.
-- $1 farm bigint
-- returns rows: series_id bigint, station text, position text, parameter text, matrix text, method text, made_by text, kind text
select series_id, station::text, position, parameter::text, matrix, method, made_by, kind
  from series
 where farm_id = $1::bigint
 order by station, parameter, position, made_by, method, kind, matrix;

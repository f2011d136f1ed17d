-- The staged rows set aside, kept.
-- $1 farm bigint
-- returns nothing
insert into set_aside (farm_id, receipt, line, col, reason, words, todo, row_text, station,
                       parameter, at, qualifier, reported, unit, sample, from_probe)
select farm_id, receipt, line, col, reason, words, todo, row_text, station, parameter, at,
       qualifier, reported, unit, sample, from_probe
  from staged_aside
 where farm_id = $1::bigint;

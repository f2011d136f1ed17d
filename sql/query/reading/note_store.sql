-- The staged detection limits and doubts, kept.
-- $1 farm bigint
-- returns nothing
insert into reading_note (farm_id, series_id, at, until, portion, detection, quantitation, doubt,
                          taken_by)
select farm_id, series_id, at, until, portion, detection, quantitation, doubt, taken_by
  from staged_note
 where farm_id = $1::bigint;

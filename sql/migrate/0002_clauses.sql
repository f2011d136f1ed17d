-- What judging any clause of a licence needs beyond the records of 0001.

-- Readings as first stored, only the farms of this transaction. For reading many: corrections are
-- few and are put on by the program, while joining them costs each reading more than its reading.
-- Ask for both time bounds: the table has a partition a month.
create view reading_stored with (security_barrier) as
select farm_id, series_id, at, until, portion, qualifier, reported, unit, flags, receipt, line, col
  from reading
 where farm_id = any ((select farms_seen())::bigint[]); -- read once, not once a row
grant select on reading_stored to weirbook_program, weirbook_reader;

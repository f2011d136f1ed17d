-- Rows that have no other answer, stored. One that somebody else stored meanwhile is a conflict.
-- $1 farm bigint
-- returns nothing
insert into reading (farm_id, series_id, at, until, portion, value, receipt, line, col, flags,
                     qualifier, reported, unit)
select farm_id, series_id, at, until, portion, value, receipt, line, col, flags, qualifier,
       reported, unit
  from staged
 where farm_id = $1::bigint
   and answer is null;

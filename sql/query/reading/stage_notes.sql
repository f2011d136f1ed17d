-- Detection limits and doubts of the staged rows that were stored.
-- $1 farm bigint
-- returns nothing
insert into reading_note (farm_id, series_id, at, until, portion, detection, quantitation, doubt,
                          taken_by)
select farm_id, series_id, at, until, portion, detection, quantitation, doubt, taken_by
  from staged
 where farm_id = $1::bigint
   and answer is null
   and (detection is not null or quantitation is not null or doubt is not null
        or taken_by is not null)
on conflict do nothing;

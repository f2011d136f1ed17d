-- Open a finding again whose newest step says that it is no longer found.
-- $1 farm bigint, $2 finding bigint, $3 words text, $4 taken_at timestamptz
-- returns nothing
insert into finding_step (farm_id, finding, nth, step, words, person, taken_at)
select $1::bigint, $2::bigint, max(nth) + 1, 'open', $3::text, null, $4::timestamptz
  from finding_step
 where farm_id = $1::bigint and finding = $2::bigint
having (array_agg(step order by nth desc))[1] = 'worked out again';

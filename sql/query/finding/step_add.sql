-- A step in answering a finding.
-- $1 farm bigint, $2 finding bigint, $3 step text, $4 words text, $5 person text, $6 taken_at timestamptz
-- returns nothing
insert into finding_step (farm_id, finding, nth, step, words, person, taken_at)
select $1::bigint, $2::bigint, coalesce(max(nth), 0) + 1, $3::text, $4::text, $5::text,
       $6::timestamptz
  from finding_step
 where farm_id = $1::bigint and finding = $2::bigint;

-- How many rows of the receipt got which answer.
-- $1 farm bigint
-- returns rows: stored bigint, already_known bigint, set_aside bigint
select count(*) filter (where answer is null),
       count(*) filter (where answer = 'k'),
       count(*) filter (where answer in ('f', 's'))
  from staged
 where farm_id = $1::bigint;

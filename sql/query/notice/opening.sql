-- How many times a finding was opened.
-- $1 farm bigint, $2 finding bigint
-- returns rows: opening integer
select count(*)::integer
  from finding_step
 where farm_id = $1::bigint
   and finding = $2::bigint
   and step = 'open';

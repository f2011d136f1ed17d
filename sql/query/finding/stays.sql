-- Which of some findings are there already and need not be opened again.
-- $1 farm bigint, $2 findings bigint[]
-- returns rows: finding bigint
select f.finding
  from finding f
 where f.farm_id = $1::bigint
   and f.finding = any ($2::bigint[])
   and (select s.step
          from finding_step s
         where s.farm_id = f.farm_id and s.finding = f.finding
         order by s.nth desc
         limit 1) is distinct from 'worked out again'
 order by f.finding;

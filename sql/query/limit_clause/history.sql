-- Every form each limit ever had, oldest first, and who compared it with the licence.
-- $1 farm bigint
-- returns rows: clause text, version integer, change text, gone boolean, confirmed bigint, definition text
select v.clause::text, v.version, v.change, v.gone,
       (select count(*) from limit_confirmed c
         where c.farm_id = v.farm_id and c.clause = v.clause and c.version = v.version),
       v.definition
  from limit_version v
 where v.farm_id = $1::bigint
 order by v.clause, v.version;

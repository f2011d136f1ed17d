-- Every form each limit ever had, oldest first, who compared it with the licence, and the newest farm file by which somebody did.
-- $1 farm bigint
-- returns rows: clause text, version integer, change text, gone boolean, confirmed bigint, compared integer, definition text
select v.clause::text, v.version, v.change, v.gone, count(distinct c.person), max(c.farm_file),
       v.definition
  from limit_version v
  left join limit_confirmed c
    on c.farm_id = v.farm_id and c.clause = v.clause and c.version = v.version
 where v.farm_id = $1::bigint
 group by v.farm_id, v.clause, v.version
 order by v.clause, v.version;

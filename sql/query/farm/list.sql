-- Every farm in this database: the only thing that can be seen without naming one.
-- returns rows: farm_id bigint, key text
select farm_id, key
  from farm_list();

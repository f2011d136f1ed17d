-- Lines and columns of a receipt's rows set aside that wait for a person.
-- $1 farm bigint, $2 receipt bigint
-- returns rows: line integer, col integer
select a.line, a.col
  from set_aside a
  left join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt
                              and n.line = a.line and n.col = a.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
 where a.farm_id = $1::bigint
   and a.receipt = $2::bigint
   and n.farm_id is null
 order by a.line, a.col;

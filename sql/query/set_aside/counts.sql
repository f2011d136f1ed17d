-- How many rows are set aside and not answered, by file and reason.
-- $1 farm bigint
-- returns rows: file_name text, reason text, rows bigint
select r.file_name, a.reason, count(*)
  from set_aside a
  join receipt r on r.farm_id = a.farm_id and r.receipt = a.receipt
  left join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt
                              and n.line = a.line and n.col = a.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
 where a.farm_id = $1::bigint
   and n.farm_id is null
 group by r.received_at, r.receipt, r.file_name, a.reason
 order by r.received_at, r.receipt, a.reason;

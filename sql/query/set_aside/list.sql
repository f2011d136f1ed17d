-- Rows set aside and not answered, newest file first, at most so many.
-- $1 farm bigint, $2 most bigint
-- returns rows: receipt bigint, file_name text, source text, line integer, col integer, reason text, words text, todo text, row_text text, station text, parameter text, at bigint, sheet text
select a.receipt, r.file_name, r.source::text, a.line, a.col, a.reason, a.words, a.todo,
       a.row_text, a.station, a.parameter, us(a.at), s.name
  from set_aside a
  join receipt r on r.farm_id = a.farm_id and r.receipt = a.receipt
  left join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt
                              and n.line = a.line and n.col = a.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
  left join receipt_sheet s on s.farm_id = a.farm_id and s.receipt = a.receipt
                           and s.sheet = (a.line - 1) / 1048576
 where a.farm_id = $1::bigint
   and n.farm_id is null
 order by r.received_at desc, a.receipt, a.line, a.col
 limit $2::bigint;

-- Rows set aside in whose place a person typed something: "value 12.5, unit mg/L".
-- $1 farm bigint
-- returns rows: receipt bigint, line integer, col integer, source text, typed text, row_text text, person text, answered_at bigint
select t.receipt, t.line, t.col, r.source::text,
       string_agg(t.what || ' ' || t.typed, ', ' order by t.what), a.row_text, n.person::text,
       us(n.answered_at)
  from set_aside_typed t
  join set_aside a on a.farm_id = t.farm_id and a.receipt = t.receipt and a.line = t.line
                  and a.col = t.col
  join set_aside_answer n on n.farm_id = t.farm_id and n.receipt = t.receipt and n.line = t.line
                         and n.col = t.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
  join receipt r on r.farm_id = t.farm_id and r.receipt = t.receipt
 where t.farm_id = $1::bigint
 group by t.receipt, t.line, t.col, r.source, a.row_text, n.person, n.answered_at
 order by t.receipt, t.line, t.col;

-- Answered rows of the newest file of a name that has any: who answered, and who saw it.
-- $1 farm bigint, $2 file_name text
-- returns rows: receipt bigint, line integer, col integer, reason text, row_text text, answer text, person text, second_person text, sheet text
select a.receipt, a.line, a.col, a.reason, a.row_text, n.answer, n.person::text,
       coalesce(n.second_person, s.person)::text, p.name
  from set_aside a
  join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt and n.line = a.line
                         and n.col = a.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
  left join set_aside_seen s on s.farm_id = a.farm_id and s.receipt = a.receipt
                            and s.line = a.line and s.col = a.col and s.nth = n.nth
  left join receipt_sheet p on p.farm_id = a.farm_id and p.receipt = a.receipt
                           and p.sheet = (a.line - 1) / 1048576
 where a.farm_id = $1::bigint
   and a.receipt = (select r.receipt
                      from receipt r
                     where r.farm_id = $1::bigint
                       and r.file_name = $2::text
                       and exists (select 1
                                     from set_aside_answer m
                                    where m.farm_id = r.farm_id and m.receipt = r.receipt
                       and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = m.farm_id and b.receipt = m.receipt
                       and b.line = m.line and b.col = m.col and b.nth = m.nth))
                     order by r.received_at desc, r.receipt
                     limit 1)
 order by a.line, a.col;

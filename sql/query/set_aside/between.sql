-- Rows set aside that belong, or may belong, to a span: those that wait, and with $4 those that were
-- answered too.
-- One of no known time may be of any span that had begun when its file came, and where others of the
-- file have a time, of one within four weeks of them (ASIDE_APART_DAYS).
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz, $4 answered_too boolean
-- returns rows: receipt bigint, line integer, col integer, reason text, words text, todo text, row_text text, station text, parameter text, at bigint, qualifier "char", reported text, unit text, from_probe boolean, answered boolean, source text, sheet text
select a.receipt, a.line, a.col, a.reason, a.words, a.todo, a.row_text, a.station, a.parameter,
       us(a.at), a.qualifier, a.reported::text, a.unit, a.from_probe, n.farm_id is not null,
       r.source, s.name
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
   and (n.farm_id is null or $4::boolean)
   and (a.at >= $2::timestamptz and a.at < $3::timestamptz
        or a.at is null and r.received_at > $2::timestamptz
           and (r.first_at is null
                or r.first_at - interval '28 days' < $3::timestamptz
                   and r.last_at + interval '28 days' >= $2::timestamptz))
 order by a.receipt, a.line, a.col;

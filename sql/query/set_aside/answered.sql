-- Rows set aside that a person answered and that belong, or may belong, to a span; with what a person
-- typed in place of what they said, and who saw that, then or later.
-- One of no known time may be of any span that had begun when its file came, and where others of the
-- file have a time, of one within four weeks of them (ASIDE_APART_DAYS).
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: receipt bigint, line integer, col integer, reason text, words text, row_text text, answer text, answer_reason text, person text, answered_at bigint, second_person text, station text, parameter text, at bigint, typed text, file_name text, sheet text
select a.receipt, a.line, a.col, a.reason, a.words, a.row_text, n.answer, n.reason,
       n.person::text, us(n.answered_at), coalesce(n.second_person, s.person)::text, a.station,
       a.parameter, us(a.at),
       (select string_agg(t.what || ' ' || t.typed, ', ' order by t.what)
          from set_aside_typed t
         where t.farm_id = a.farm_id and t.receipt = a.receipt and t.line = a.line
           and t.col = a.col),
       r.file_name, p.name
  from set_aside a
  join receipt r on r.farm_id = a.farm_id and r.receipt = a.receipt
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
   and (a.at >= $2::timestamptz and a.at < $3::timestamptz
        or a.at is null and r.received_at > $2::timestamptz
           and (r.first_at is null
                or r.first_at - interval '28 days' < $3::timestamptz
                   and r.last_at + interval '28 days' >= $2::timestamptz))
 order by a.receipt, a.line, a.col;

-- Rows set aside that a person answered and that belong, or may belong, to a span.
-- One of no known time may be of any span that had begun when its file came, and where others of the
-- file have a time, of one within four weeks of them (ASIDE_APART_DAYS).
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: receipt bigint, line integer, col integer, reason text, words text, row_text text, answer text, answer_reason text, person text, answered_at bigint, second_person text, station text, parameter text, at bigint
select a.receipt, a.line, a.col, a.reason, a.words, a.row_text, n.answer, n.reason,
       n.person::text, us(n.answered_at), n.second_person::text, a.station, a.parameter, us(a.at)
  from set_aside a
  join receipt r on r.farm_id = a.farm_id and r.receipt = a.receipt
  join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt and n.line = a.line
                         and n.col = a.col
 where a.farm_id = $1::bigint
   and (a.at >= $2::timestamptz and a.at < $3::timestamptz
        or a.at is null and r.received_at > $2::timestamptz
           and (r.first_at is null
                or r.first_at - interval '28 days' < $3::timestamptz
                   and r.last_at + interval '28 days' >= $2::timestamptz))
 order by a.receipt, a.line, a.col;

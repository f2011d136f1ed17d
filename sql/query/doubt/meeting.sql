-- Marks that hold and meet a span, oldest first.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: series_id bigint, sample text, from_at bigint, until_at bigint, kind text, words text
select m.series_id, m.sample, us(m.from_at), us(m.until_at), m.kind, m.words
  from doubt_mark m
  left join sample b on b.farm_id = m.farm_id and b.sample = m.sample
 where m.farm_id = $1::bigint
   and not exists (select 1 from doubt_lift l where l.farm_id = m.farm_id and l.mark = m.mark)
   and coalesce(m.from_at, b.taken_from) < $3::timestamptz
   and coalesce(m.until_at, b.taken_from) >= $2::timestamptz
 order by m.mark;

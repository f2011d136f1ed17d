-- Every mark, newest first, with what it is of and whether it was lifted.
-- $1 farm bigint
-- returns rows: mark integer, series_id bigint, station text, parameter text, made_by text, sample text, from_at bigint, until_at bigint, kind text, words text, by_whom text, set_at bigint, lifted_because text, lifted_by text, lifted_at bigint, position text
select m.mark, m.series_id, coalesce(s.station, b.station)::text, s.parameter::text, s.made_by,
       m.sample, us(coalesce(m.from_at, b.taken_from)), us(coalesce(m.until_at, b.taken_until)),
       m.kind, m.words, coalesce(m.person, m.source)::text, us(m.set_at), l.reason, l.person::text,
       us(l.lifted_at), s.position
  from doubt_mark m
  left join doubt_lift l on l.farm_id = m.farm_id and l.mark = m.mark
  left join series s on s.farm_id = m.farm_id and s.series_id = m.series_id
  left join sample b on b.farm_id = m.farm_id and b.sample = m.sample
 where m.farm_id = $1::bigint
 order by m.mark desc;

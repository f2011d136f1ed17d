-- Findings that began in a span, with their newest step.
-- $1 farm bigint, $2 from_day date, $3 to_day date
-- returns rows: finding bigint, kind text, subject text, station text, from_day date, aware_at bigint, words text, step text, step_words text
select f.finding, f.kind, f.subject, f.station, f.from_day, us(f.aware_at), f.words, s.step,
       s.words
  from finding f
  join lateral (select step, words from finding_step s
                 where s.farm_id = f.farm_id and s.finding = f.finding
                 order by nth desc limit 1) s on true
 where f.farm_id = $1::bigint
   and f.from_day >= $2::date
   and f.from_day <= $3::date
 order by f.from_day, f.kind, f.subject, f.finding;

-- Findings that nobody settled, with their newest step, newest first.
-- $1 farm bigint
-- returns rows: finding bigint, kind text, subject text, station text, from_day date, aware_at bigint, words text, step text, step_words text
select f.finding, f.kind, f.subject, f.station, f.from_day, us(f.aware_at), f.words, s.step,
       s.words
  from finding f
  join lateral (select step, words from finding_step s
                 where s.farm_id = f.farm_id and s.finding = f.finding
                 order by nth desc limit 1) s on true
 where f.farm_id = $1::bigint
   and s.step <> 'settled'
 order by f.from_day desc, f.kind, f.subject, f.finding;

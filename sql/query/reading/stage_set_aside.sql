-- Rows that contradict each other or a stored reading, set aside.
-- $1 farm bigint, $2 todo_file text, $3 todo_stored text
-- returns nothing
insert into set_aside (farm_id, receipt, line, col, reason, words, todo, row_text, station,
                       parameter, at, qualifier, reported, unit, sample, from_probe)
select s.farm_id, s.receipt, s.line, s.col,
       case s.answer when 'f' then 'contradicts-file' else 'contradicts-stored' end,
       s.said, case s.answer when 'f' then $2::text else $3::text end,
       case s.qualifier when '=' then '' when 'n' then 'not detected' else s.qualifier::text end
           || coalesce(s.reported::text, '') || ' ' || s.unit,
       e.station, e.parameter, s.at, s.qualifier, s.reported, s.unit, p.sample,
       e.kind = 'probe'
  from staged s
  join series e on e.farm_id = s.farm_id and e.series_id = s.series_id
  left join sample_portion p on p.farm_id = s.farm_id and p.portion = s.portion
 where s.farm_id = $1::bigint
   and s.answer in ('f', 's');

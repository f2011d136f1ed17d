-- Rows that contradict each other or a stored reading, set aside.
-- $1 farm bigint, $2 todo_file text, $3 todo_stored text
-- returns nothing
insert into set_aside (farm_id, receipt, line, col, reason, words, todo, row_text, station,
                       parameter, at, qualifier, reported, unit, sample, from_probe)
select farm_id, receipt, line, col,
       case answer when 'f' then 'contradicts-file' else 'contradicts-stored' end,
       said, case answer when 'f' then $2::text else $3::text end,
       case qualifier when '=' then '' when 'n' then 'not detected' else qualifier::text end
           || coalesce(reported::text, '') || ' ' || unit,
       station, parameter, at, qualifier, reported, unit, sample, from_probe
  from staged
 where farm_id = $1::bigint
   and answer in ('f', 's');

-- What is stored already, said of the rows that contradict it.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 last_at timestamptz, $5 words text
-- returns nothing
update staged s
   set said = $5::text || case r.qualifier when '=' then '' when 'n' then 'not detected'
                               else r.qualifier::text end
                       || coalesce(r.reported::text, '') || ' ' || r.unit
  from reading_now r
 where s.answer = 's'
   and r.farm_id = $1::bigint
   and r.series_id = any ($2::bigint[])
   and r.at >= $3::timestamptz
   and r.at <= $4::timestamptz
   and r.series_id = s.series_id and r.at = s.at and r.until = s.until and r.portion = s.portion;

-- The newest result of each series of samples that told a limit beside it, and the newest of all.
-- $1 farm bigint
-- returns rows: series_id bigint, station text, position text, parameter text, method text, made_by text, told_at bigint, detection text, quantitation text, latest_at bigint, latest_qualifier "char", latest_reported text, latest_unit text
select s.series_id, s.station::text, s.position, s.parameter::text, s.method, s.made_by, us(n.at),
       n.detection::text, n.quantitation::text, us(l.at), l.qualifier, l.reported::text, l.unit
  from series s
  join series_latest l on l.farm_id = s.farm_id and l.series_id = s.series_id
  left join lateral (select at, detection, quantitation
                       from reading_note n
                      where n.farm_id = s.farm_id
                        and n.series_id = s.series_id
                        and (n.detection is not null or n.quantitation is not null)
                      order by at desc
                      limit 1) n on true
 where s.farm_id = $1::bigint
   and s.kind <> 'probe'
   and (n.at is not null or l.qualifier = '<')
 order by s.station, s.parameter, s.made_by, s.position, s.series_id;

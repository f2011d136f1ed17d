-- The newest reading of every series.
-- $1 farm bigint
-- returns rows: station text, position text, parameter text, made_by text, kind text, at bigint, qualifier "char", reported text, unit text
select s.station::text, s.position, s.parameter::text, s.made_by, s.kind, us(l.at), l.qualifier,
       l.reported::text, l.unit
  from series_latest l
  join series s on s.farm_id = l.farm_id and s.series_id = l.series_id
 where l.farm_id = $1::bigint
 order by s.station, s.parameter, s.position, s.made_by;

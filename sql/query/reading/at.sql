-- The readings of a station and parameter at one instant, as they stand and as first stored.
-- $1 farm bigint, $2 station text, $3 parameter text, $4 at timestamptz
-- returns rows: series_id bigint, at bigint, until bigint, portion bigint, qualifier "char", reported text, unit text, left_out boolean, receipt bigint, line integer, made_by text, sample text, position text
select r.series_id, us(r.at), us(r.until), r.portion, r.qualifier, r.reported::text, r.unit,
       r.left_out, r.receipt, r.line, s.made_by, p.sample, s.position
  from series s
  join reading_now r on r.farm_id = s.farm_id and r.series_id = s.series_id
  left join sample_portion p on p.farm_id = r.farm_id and p.portion = r.portion
 where s.farm_id = $1::bigint
   and s.station = $2::text
   and s.parameter = $3::text
   and r.at >= $4::timestamptz
   and r.at <= $4::timestamptz
 order by s.position, s.made_by, r.portion;

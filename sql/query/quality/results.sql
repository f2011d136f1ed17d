-- Results of samples of some parameters in a span as they stand, without those left out: by
-- parameter, series and time.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz, $4 parameters text[]
-- returns rows: series_id bigint, station text, position text, parameter text, made_by text, at bigint, until bigint, qualifier "char", reported text, unit text, receipt bigint, sample text, replicate text, purpose text, detection text, quantitation text
select r.series_id, s.station::text, s.position, s.parameter::text, s.made_by, us(r.at),
       us(r.until), r.qualifier, r.reported::text, r.unit, r.receipt, p.sample, p.replicate,
       b.purpose, n.detection::text, n.quantitation::text
  from series s
  join reading_now r on r.farm_id = s.farm_id and r.series_id = s.series_id
  join sample_portion p on p.farm_id = r.farm_id and p.portion = r.portion
  join sample b on b.farm_id = p.farm_id and b.sample = p.sample
  left join reading_note n
    on n.farm_id = r.farm_id and n.series_id = r.series_id and n.at = r.at and n.until = r.until
   and n.portion = r.portion
 where s.farm_id = $1::bigint
   and s.parameter = any ($4::text[])
   and s.kind <> 'probe'
   and r.at >= $2::timestamptz
   and r.at < $3::timestamptz
   and not r.left_out
 order by s.parameter, r.series_id, r.at, r.until, p.sample, p.replicate;

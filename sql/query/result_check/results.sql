-- A sample's results as they stand.
-- $1 farm bigint, $2 sample text, $3 first_at timestamptz, $4 last_at timestamptz
-- returns rows: station text, parameter text, made_by text, replicate text, at bigint, qualifier "char", reported text, unit text, left_out boolean, receipt bigint, line integer
select s.station::text, s.parameter::text, s.made_by, p.replicate, us(r.at), r.qualifier,
       r.reported::text, r.unit, r.left_out, r.receipt, r.line
  from sample_portion p
  join reading_now r on r.farm_id = p.farm_id and r.portion = p.portion
  join series s on s.farm_id = r.farm_id and s.series_id = r.series_id
 where p.farm_id = $1::bigint
   and p.sample = $2::text
   and r.at >= $3::timestamptz
   and r.at <= $4::timestamptz
 order by s.station, s.parameter, s.made_by, p.replicate, r.at;

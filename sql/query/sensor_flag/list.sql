-- What tests said of readings in a span, of one station and parameter or of all, series by series.
-- $1 farm bigint, $2 station text, $3 parameter text, $4 first_at timestamptz, $5 until_at timestamptz
-- returns rows: series_id bigint, station text, position text, parameter text, made_by text, test text, from_at bigint, until_at bigint, flag smallint, readings bigint, value double precision, continues boolean, words text
select f.series_id, s.station::text, s.position, s.parameter::text, s.made_by, f.test,
       us(f.from_at), us(f.until_at), f.flag, f.readings, f.value, f.continues, f.words
  from sensor_flag f
  join series s on s.farm_id = f.farm_id and s.series_id = f.series_id
 where f.farm_id = $1::bigint
   and ($2::text is null or s.station = $2::text)
   and ($3::text is null or s.parameter = $3::text)
   and f.until_at >= $4::timestamptz
   and f.from_at < $5::timestamptz
 order by s.station, s.parameter, s.position, s.made_by, f.series_id, f.test, f.from_at;

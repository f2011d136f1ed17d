-- What tests put in doubt in a span, in order of series and time: gaps put nothing in doubt.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: series_id bigint, from_at bigint, until_at bigint, test text, flag smallint, words text
select series_id, us(from_at), us(until_at), test, flag, words
  from sensor_flag
 where farm_id = $1::bigint
   and test <> 'gap'
   and until_at >= $2::timestamptz
   and until_at < $3::timestamptz + interval '1 day' -- none but a gap is longer
   and from_at < $3::timestamptz
 order by series_id, from_at, test;

-- Take away what tests said of a series in a span; what it was.
-- $1 farm bigint, $2 series bigint, $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: test text, from_at bigint, until_at bigint, flag smallint
delete from sensor_flag
 where farm_id = $1::bigint
   and series_id = $2::bigint
   and until_at >= $3::timestamptz
   and until_at < $4::timestamptz
returning test, us(from_at), us(until_at), flag;

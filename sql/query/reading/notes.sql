-- What laboratories told beside readings of a span, and why some are in doubt.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: series_id bigint, at bigint, until bigint, portion bigint, detection numeric, quantitation numeric, doubt text, taken_by text
select series_id, us(at), us(until), portion, detection, quantitation, doubt, taken_by
  from reading_note
 where farm_id = $1::bigint
   and at >= $2::timestamptz
   and at < $3::timestamptz
 order by series_id, at, until, portion;

-- Corrections of readings of some series in a span, oldest first for each reading.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: series_id bigint, at timestamptz, until timestamptz, portion bigint, kind text, qualifier "char", reported numeric, unit text, reason text, person text, second_person text, made_at timestamptz
select series_id, at, until, portion, kind, qualifier, reported, unit, reason, person::text,
       second_person::text, made_at
  from correction
 where farm_id = $1::bigint
   and series_id = any ($2::bigint[])
   and at >= $3::timestamptz
   and at < $4::timestamptz
 order by series_id, at, until, portion, nth;

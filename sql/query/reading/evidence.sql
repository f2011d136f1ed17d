-- Readings of some series in a span, as they stand, in order of series and time.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: series_id bigint, at timestamptz, until timestamptz, portion bigint, qualifier "char", reported numeric, unit text, flags smallint, left_out boolean, corrected boolean, correction_reason text, receipt bigint, line integer, col integer, first_qualifier "char", first_reported numeric, first_unit text
select series_id, at, until, portion, qualifier, reported, unit, flags, left_out, corrected,
       correction_reason, receipt, line, col, first_qualifier, first_reported, first_unit
  from reading_now
 where farm_id = $1::bigint
   and series_id = any ($2::bigint[])
   and at >= $3::timestamptz
   and at < $4::timestamptz
 order by series_id, at, until, reported, portion;

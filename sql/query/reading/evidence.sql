-- Readings of some series in a span, as first stored, in no order: putting them
-- in one would take the server longer than reading them. What most readings
-- have alike (no span, no portion, no flags) comes as null, which is soonest sent.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: series_id bigint, at timestamptz, until timestamptz, portion bigint, qualifier "char", reported numeric, unit text, flags smallint, receipt bigint, line integer, col integer
select series_id, at, nullif(until, at) as until, nullif(portion, 0) as portion, qualifier,
       reported, unit, nullif(flags, 0) as flags, receipt, line, col
  from reading_stored
 where farm_id = $1::bigint
   and series_id = any ($2::bigint[])
   and at >= $3::timestamptz
   and at < $4::timestamptz;

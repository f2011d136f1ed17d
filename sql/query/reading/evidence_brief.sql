-- As reading/evidence.sql, without where the readings came from: judging in brief tells nobody, and each column is time.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: series_id bigint, at timestamptz, until timestamptz, portion bigint, qualifier "char", reported numeric, unit text, flags smallint
select series_id, at, nullif(until, at) as until, nullif(portion, 0) as portion, qualifier,
       reported, unit, nullif(flags, 0) as flags
  from reading_stored
 where farm_id = $1::bigint
   and series_id = any ($2::bigint[])
   and at >= $3::timestamptz
   and at < $4::timestamptz;

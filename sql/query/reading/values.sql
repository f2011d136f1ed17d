-- The values of a series as they stand, in order of time: null where one is left out or no plain
-- number.
-- $1 farm bigint, $2 series bigint, $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: at timestamptz, value double precision
select at, case when left_out or qualifier <> '=' then null else value end as value
  from reading_now
 where farm_id = $1::bigint
   and series_id = $2::bigint
   and at >= $3::timestamptz
   and at < $4::timestamptz
   and portion = 0
 order by at, until;

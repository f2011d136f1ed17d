-- A correction, leave-out or putting back, numbered after those before it.
-- $1 farm bigint, $2 series_id bigint, $3 at timestamptz, $4 until timestamptz, $5 portion bigint, $6 kind text, $7 qualifier "char", $8 reported numeric, $9 unit text, $10 value double precision, $11 reason text, $12 person text, $13 second_person text, $14 made_at timestamptz, $15 receipt bigint, $16 line integer
-- returns nothing
insert into correction (farm_id, series_id, at, until, portion, nth, kind, qualifier, reported,
                        unit, value, reason, person, second_person, made_at, receipt, line)
select $1::bigint, $2::bigint, $3::timestamptz, $4::timestamptz, $5::bigint,
       coalesce(max(nth), 0) + 1, $6::text, $7::"char", $8::numeric, $9::text,
       $10::double precision, $11::text, $12::text, $13::text, $14::timestamptz, $15::bigint,
       $16::int
  from correction
 where farm_id = $1::bigint and series_id = $2::bigint and at = $3::timestamptz
   and until = $4::timestamptz and portion = $5::bigint;

-- What a person says of the readings that a visit puts in doubt, after what was said before.
-- $1 farm bigint, $2 visit integer, $3 parameter text, $4 answer text, $5 after_at timestamptz, $6 cleaned_at timestamptz, $7 until_at timestamptz, $8 unit text, $9 fouling numeric, $10 drift numeric, $11 reason text, $12 person text, $13 second_person text, $14 at timestamptz
-- returns nothing
insert into probe_answer (farm_id, visit, parameter, nth, answer, after_at, cleaned_at, until_at,
                          unit, fouling, drift, reason, person, second_person, at)
select $1::bigint, $2::int, $3::text, coalesce(max(nth), 0) + 1, $4::text, $5::timestamptz,
       $6::timestamptz, $7::timestamptz, $8::text, $9::numeric, $10::numeric, $11::text, $12::text,
       $13::text, $14::timestamptz
  from probe_answer
 where farm_id = $1::bigint and visit = $2::int and parameter = $3::text;

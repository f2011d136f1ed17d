-- Why there is no sample.
-- $1 farm bigint, $2 clause text, $3 day date, $4 reason text, $5 explanation text, $6 person text, $7 said_at timestamptz
-- returns nothing
insert into no_sample (farm_id, clause, day, nth, reason, explanation, person, said_at)
select $1::bigint, $2::text, $3::date, coalesce(max(nth), 0) + 1, $4::text, $5::text, $6::text,
       $7::timestamptz
  from no_sample
 where farm_id = $1::bigint and clause = $2::text and day = $3::date;

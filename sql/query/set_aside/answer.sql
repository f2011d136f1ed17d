-- What a person decided about a row set aside.
-- $1 farm bigint, $2 receipt bigint, $3 line integer, $4 col integer, $5 answer text, $6 reason text, $7 person text, $8 answered_at timestamptz, $9 second_person text
-- returns nothing
insert into set_aside_answer (farm_id, receipt, line, col, nth, answer, reason, person, answered_at,
                              second_person)
select $1::bigint, $2::bigint, $3::int, $4::int, 1 + count(*), $5::text, $6::text, $7::text,
       $8::timestamptz, $9::text
  from set_aside_put_back b
 where b.farm_id = $1::bigint
   and b.receipt = $2::bigint
   and b.line = $3::int
   and b.col = $4::int;

-- Rows set aside of a receipt that a person leaves out together, by their places.
-- $1 farm bigint, $2 receipt bigint, $3 lines integer[], $4 cols integer[], $5 reason text, $6 person text, $7 answered_at timestamptz, $8 second_person text
-- returns nothing
insert into set_aside_answer (farm_id, receipt, line, col, nth, answer, reason, person, answered_at,
                              second_person)
select $1::bigint, $2::bigint, p.line, p.col, 1 + count(b.nth), 'left out', $5::text, $6::text,
       $7::timestamptz, $8::text
  from unnest($3::int[], $4::int[]) as p (line, col)
  left join set_aside_put_back b on b.farm_id = $1::bigint and b.receipt = $2::bigint
                                and b.line = p.line and b.col = p.col
 group by p.line, p.col;

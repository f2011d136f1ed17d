-- Rows set aside of a receipt that were left out and wait again, by their places.
-- $1 farm bigint, $2 receipt bigint, $3 lines integer[], $4 cols integer[], $5 reason text, $6 person text, $7 put_back_at timestamptz
-- returns nothing
insert into set_aside_put_back (farm_id, receipt, line, col, nth, reason, person, put_back_at)
select n.farm_id, n.receipt, n.line, n.col, n.nth, $5::text, $6::text, $7::timestamptz
  from unnest($3::int[], $4::int[]) as p (line, col)
  join set_aside_answer n on n.farm_id = $1::bigint and n.receipt = $2::bigint
                             and n.line = p.line and n.col = p.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
 where n.answer = 'left out';

-- What a person typed in place of what a row said, where the row was accepted so.
-- $1 farm bigint, $2 receipt bigint, $3 line integer, $4 col integer, $5 what text, $6 typed text
-- returns nothing
insert into set_aside_typed (farm_id, receipt, line, col, nth, what, typed)
select n.farm_id, n.receipt, n.line, n.col, n.nth, $5::text, $6::text
  from set_aside_answer n
 where n.farm_id = $1::bigint
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
   and n.receipt = $2::bigint
   and n.line = $3::int
   and n.col = $4::int
   and n.answer = 'accepted';

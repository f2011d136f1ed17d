-- Rows set aside that were read again and are now stored, or say what is stored: accepted.
-- $1 farm bigint, $2 receipt bigint, $3 by_column boolean, $4 reason text, $5 person text, $6 answered_at timestamptz, $7 second_person text
-- returns nothing
insert into set_aside_answer (farm_id, receipt, line, col, nth, answer, reason, person, answered_at,
                              second_person)
select distinct a.farm_id, a.receipt, a.line, a.col,
       (select 1 + count(*)
          from set_aside_put_back b
         where b.farm_id = a.farm_id and b.receipt = a.receipt and b.line = a.line
           and b.col = a.col), 'accepted', $4::text, $5::text,
       $6::timestamptz, $7::text
  from staged s
  join set_aside a on a.farm_id = s.farm_id and a.receipt = $2::bigint and a.line = s.line
                  and (a.col = s.col or not $3::boolean)
 where s.farm_id = $1::bigint
   and (s.answer is null or s.answer = 'k')
on conflict do nothing;

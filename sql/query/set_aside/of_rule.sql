-- How many rows of each file were accepted as a rule about a source's word was made: by that person in
-- that instant.
-- $1 farm bigint, $2 source text, $3 made_by text, $4 made_at timestamptz
-- returns rows: file_name text, rows bigint
select r.file_name, count(*)
  from set_aside_answer n
  join receipt r on r.farm_id = n.farm_id and r.receipt = n.receipt
 where n.farm_id = $1::bigint
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
   and r.source = $2::text
   and n.person = $3::text
   and n.answered_at = $4::timestamptz
   and n.answer = 'accepted'
 group by r.receipt, r.file_name, r.received_at
 order by r.received_at, r.receipt;

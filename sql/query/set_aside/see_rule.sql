-- A second person saw a rule about a source's word, and with it the rows that were answered as the rule
-- was made: by that person in that instant.
-- $1 farm bigint, $2 source text, $3 made_by text, $4 made_at timestamptz, $5 person text, $6 seen_at timestamptz
-- returns nothing
insert into set_aside_seen (farm_id, receipt, line, col, nth, person, seen_at)
select n.farm_id, n.receipt, n.line, n.col, n.nth, $5::text, $6::timestamptz
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
   and n.second_person is null
on conflict do nothing;

-- Take one notice that is due and that nobody is sending, for as long as the lease says. Of two who
-- take the same at once the later gets none. `over_at`: since when the finding is found no more.
-- $1 farm bigint, $2 now timestamptz, $3 leased_until timestamptz
-- returns rows: notice integer, tries integer, finding bigint, kind text, about text, station text, from_day date, person text, told_by text, address text, next_after_s integer, subject text, words text, queued_at bigint, opening integer, over_at bigint
update notice_turn t
   set leased_until = $3::timestamptz, tries = t.tries + 1
  from (select farm_id, notice
          from notice_turn
         where farm_id = $1::bigint
           and due_at <= $2::timestamptz
           and (leased_until is null or leased_until <= $2::timestamptz)
         order by due_at, notice
         limit 1) due
  join notice n on n.farm_id = due.farm_id and n.notice = due.notice
  join finding f on f.farm_id = n.farm_id and f.finding = n.finding
 where t.farm_id = due.farm_id
   and t.notice = due.notice
   and (t.leased_until is null or t.leased_until <= $2::timestamptz)
returning t.notice, t.tries, n.finding, f.kind, f.subject, f.station, f.from_day, n.person::text,
          n.told_by, n.address, n.next_after_s, n.subject, n.words, us(n.queued_at), n.opening,
          (select case when s.step = 'worked out again' then us(s.taken_at) end
             from finding_step s
            where s.farm_id = n.farm_id and s.finding = n.finding
            order by s.nth desc
            limit 1);

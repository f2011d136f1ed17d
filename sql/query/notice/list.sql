-- Notices with what became of them, newest first: all, those of one number, or those nobody has
-- seen. `waits`: something is still to be sent.
-- $1 farm bigint, $2 notice integer, $3 unseen boolean
-- returns rows: notice integer, finding bigint, kind text, station text, from_day date, nth integer, person text, told_by text, address text, subject text, words text, queued_at bigint, step text, reply text, step_at bigint, waits boolean, due_at bigint, tries integer, seen_by text, seen_at bigint, parts bigint
select n.notice, n.finding, f.kind, f.station, f.from_day, n.nth, n.person::text, n.told_by,
       n.address, n.subject, n.words, us(n.queued_at), s.step, s.reply, us(s.at),
       t.notice is not null, us(t.due_at), coalesce(t.tries, 0), g.person::text, us(g.at),
       (select count(*) from notice_part p
         where p.farm_id = n.farm_id and p.finding = n.finding and p.opening = n.opening)
  from notice n
  join finding f on f.farm_id = n.farm_id and f.finding = n.finding
  left join notice_turn t on t.farm_id = n.farm_id and t.notice = n.notice
  left join lateral (select step, reply, at from notice_step s
                      where s.farm_id = n.farm_id and s.notice = n.notice and s.step <> 'seen'
                      order by nth desc limit 1) s on true
  left join lateral (select s.person, s.at
                       from notice o
                       join notice_step s on s.farm_id = o.farm_id and s.notice = o.notice
                                             and s.step = 'seen'
                      where o.farm_id = n.farm_id and o.finding = n.finding
                        and o.opening = n.opening
                      order by s.at limit 1) g on true
 where n.farm_id = $1::bigint
   and ($2::integer is null or n.notice = $2::integer)
   and (not $3::boolean or g.person is null)
 order by n.notice desc;

-- First notices of a kind to these people, in this order, that wait to be sent, and the newest that
-- nobody is at and that was not tried yet. It is written to, so that nobody takes it for sending
-- before this transaction has ended.
-- $1 farm bigint, $2 kind text, $3 people text
-- returns rows: waiting bigint, finding bigint, opening integer
with waiting as (
    select n.notice, n.finding, n.opening, t.tries, t.leased_until
      from notice_turn t
      join notice n on n.farm_id = t.farm_id and n.notice = t.notice
      join finding f on f.farm_id = n.farm_id and f.finding = n.finding
     where t.farm_id = $1::bigint
       and n.nth = 1
       and f.kind = $2::text
       and (select string_agg(o.person, ' ' order by o.nth)
              from notice o
             where o.farm_id = n.farm_id and o.finding = n.finding
               and o.opening = n.opening) = $3::text),
newest as (
    update notice_turn t
       set leased_until = null
     where t.farm_id = $1::bigint
       and t.notice = (select max(notice) from waiting where tries = 0 and leased_until is null)
       and t.tries = 0
       and t.leased_until is null
    returning t.notice)
select (select count(*) from waiting), w.finding, w.opening
  from (select 1) one
  left join newest m on true
  left join waiting w on w.notice = m.notice;

-- Who comes after a notice's person is told at that time, or sooner where it was sooner already; the
-- first of another round not before the time of rounds.
-- $1 farm bigint, $2 notice integer, $3 due_at timestamptz, $4 round_at timestamptz
-- returns nothing
update notice_turn t
   set due_at = case when n.round = me.round then $3::timestamptz else $4::timestamptz end
  from notice me
  join notice n on n.farm_id = me.farm_id and n.finding = me.finding and n.opening = me.opening
                   and n.nth = me.nth + 1
 where me.farm_id = $1::bigint
   and me.notice = $2::integer
   and t.farm_id = n.farm_id
   and t.notice = n.notice
   and (t.due_at is null
        or t.due_at > case when n.round = me.round then $3::timestamptz else $4::timestamptz end);

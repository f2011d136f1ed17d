-- Somebody has seen a notice: nobody else is told of that opening of the finding.
-- $1 farm bigint, $2 notice integer
-- returns nothing
delete from notice_turn t
 using notice me, notice n
 where me.farm_id = $1::bigint
   and me.notice = $2::integer
   and n.farm_id = me.farm_id
   and n.finding = me.finding
   and n.opening = me.opening
   and t.farm_id = n.farm_id
   and t.notice = n.notice;

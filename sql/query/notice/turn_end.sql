-- Nothing more is to be sent of a notice.
-- $1 farm bigint, $2 notice integer
-- returns nothing
delete from notice_turn
 where farm_id = $1::bigint
   and notice = $2::integer;

-- A notice is tried again, unless somebody else has taken it since the try of that number.
-- $1 farm bigint, $2 notice integer, $3 tries integer, $4 due_at timestamptz
-- returns nothing
update notice_turn
   set due_at = $4::timestamptz, leased_until = null
 where farm_id = $1::bigint
   and notice = $2::integer
   and tries = $3::integer;

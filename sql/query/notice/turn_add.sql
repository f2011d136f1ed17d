-- A notice is to be sent: at a time, or with null when the one before had his minutes.
-- $1 farm bigint, $2 notice integer, $3 due_at timestamptz
-- returns nothing
insert into notice_turn (farm_id, notice, due_at)
values ($1::bigint, $2::integer, $3::timestamptz);

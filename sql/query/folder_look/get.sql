-- Since when a folder is watched and when a file last came there, if it was ever looked into.
-- $1 farm bigint, $2 folder text
-- returns rows: since bigint, came_at bigint
select us(since), us(came_at) from folder_look where farm_id = $1::bigint and folder = $2::text;

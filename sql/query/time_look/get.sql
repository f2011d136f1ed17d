-- When time was last looked at, if it ever was.
-- $1 farm bigint
-- returns rows: looked_at bigint
select us(looked_at) from time_look where farm_id = $1::bigint;

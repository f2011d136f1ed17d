-- The newest reading that a source's files held, whatever became of it there.
-- $1 farm bigint, $2 source text
-- returns rows: last_at bigint
select us(max(last_at)) from receipt where farm_id = $1::bigint and source = $2::text;

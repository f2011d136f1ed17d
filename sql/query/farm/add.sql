-- A new farm.
-- $1 farm bigint, $2 key text
-- returns nothing
insert into farm (farm_id, key)
values ($1::bigint, $2::text);

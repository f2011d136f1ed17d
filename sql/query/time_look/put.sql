-- When time was last looked at.
-- $1 farm bigint, $2 looked_at timestamptz
-- returns nothing
insert into time_look as old (farm_id, looked_at)
values ($1::bigint, $2::timestamptz)
on conflict (farm_id) do update
   set looked_at = greatest(old.looked_at, excluded.looked_at);

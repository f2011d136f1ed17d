-- When time was last looked at; judged_at stays as it was where none is given.
-- $1 farm bigint, $2 looked_at timestamptz, $3 judged_at timestamptz
-- returns nothing
insert into time_look as old (farm_id, looked_at, judged_at)
values ($1::bigint, $2::timestamptz, $3::timestamptz)
on conflict (farm_id) do update
   set looked_at = greatest(old.looked_at, excluded.looked_at),
       judged_at = coalesce(excluded.judged_at, old.judged_at);

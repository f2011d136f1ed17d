-- A watched folder was looked into; came_at where a file came.
-- $1 farm bigint, $2 folder text, $3 since timestamptz, $4 came_at timestamptz
-- returns nothing
insert into folder_look as old (farm_id, folder, since, came_at)
values ($1::bigint, $2::text, $3::timestamptz, $4::timestamptz)
on conflict (farm_id, folder) do update
   set came_at = coalesce(greatest(old.came_at, excluded.came_at), old.came_at)
 where excluded.came_at is not null;

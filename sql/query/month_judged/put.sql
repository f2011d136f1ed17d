-- A month that was judged in full.
-- $1 farm bigint, $2 month date, $3 judged_at timestamptz, $4 farm_file integer
-- returns nothing
insert into month_judged (farm_id, month, judged_at, farm_file)
values ($1::bigint, $2::date, $3::timestamptz, $4::int)
on conflict (farm_id, month) do update
   set judged_at = excluded.judged_at, farm_file = excluded.farm_file;

-- The number that the farm's next notice gets. The ledger's lock is held: nobody else draws one.
-- $1 farm bigint
-- returns rows: notice integer
select coalesce(max(notice), 0) + 1
  from notice
 where farm_id = $1::bigint;

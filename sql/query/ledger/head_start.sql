-- The head of a new farm's ledger: no entry yet.
-- $1 farm bigint, $2 hash bytea, $3 at timestamptz
-- returns nothing
insert into ledger_head (farm_id, sequence, hash, at)
values ($1::bigint, 0, $2::bytea, $3::timestamptz);

-- One batch of a receipt's readings, bound by its Merkle root.
-- $1 farm bigint, $2 receipt bigint, $3 batch integer, $4 readings integer, $5 root bytea
-- returns nothing
insert into receipt_batch (farm_id, receipt, batch, readings, root)
values ($1::bigint, $2::bigint, $3::int, $4::int, $5::bytea);

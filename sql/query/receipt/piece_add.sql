-- One piece of the original bytes.
-- $1 farm bigint, $2 receipt bigint, $3 piece integer, $4 bytes bytea
-- returns nothing
insert into receipt_piece (farm_id, receipt, piece, bytes)
values ($1::bigint, $2::bigint, $3::int, $4::bytea);

-- One piece of a document's bytes.
-- $1 farm bigint, $2 document bigint, $3 piece integer, $4 bytes bytea
-- returns nothing
insert into document_piece (farm_id, document, piece, bytes)
values ($1::bigint, $2::bigint, $3::int, $4::bytea);

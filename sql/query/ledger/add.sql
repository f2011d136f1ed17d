-- One entry, and the head moved to it.
-- $1 farm bigint, $2 sequence bigint, $3 at timestamptz, $4 kind text, $5 person text, $6 source text, $7 bytes bytea, $8 hash bytea
-- returns nothing
with moved as (
    update ledger_head
       set sequence = $2::bigint, hash = $8::bytea, at = $3::timestamptz
     where farm_id = $1::bigint)
insert into ledger (farm_id, sequence, at, kind, person, source, bytes, hash)
values ($1::bigint, $2::bigint, $3::timestamptz, $4::text, $5::text, $6::text, $7::bytea,
        $8::bytea);

-- A receipt with its counts. Written last of its rows: their keys to it are checked at commit.
-- $1 farm bigint, $2 receipt bigint, $3 source text, $4 farm_file_version integer, $5 file_name text, $6 sha256 bytea, $7 byte_count bigint, $8 received_at timestamptz, $9 person text, $10 values_in bigint, $11 stored bigint, $12 already_known bigint, $13 blank bigint, $14 set_aside bigint, $15 first_at timestamptz, $16 last_at timestamptz
-- returns nothing
insert into receipt (farm_id, receipt, source, farm_file_version, file_name, sha256, byte_count,
                     received_at, person, values_in, stored, already_known, blank, set_aside,
                     first_at, last_at)
values ($1::bigint, $2::bigint, $3::text, $4::int, $5::text, $6::bytea, $7::bigint,
        $8::timestamptz, $9::text, $10::bigint, $11::bigint, $12::bigint, $13::bigint,
        $14::bigint, $15::timestamptz, $16::timestamptz);

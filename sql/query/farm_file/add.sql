-- One loading of the farm file.
-- $1 farm bigint, $2 version integer, $3 sha256 bytea, $4 bytes bytea, $5 name text, $6 zone text, $7 invented boolean, $8 loaded_at timestamptz, $9 person text
-- returns nothing
insert into farm_file (farm_id, version, sha256, bytes, name, zone, invented, loaded_at, person)
values ($1::bigint, $2::int, $3::bytea, $4::bytea, $5::text, $6::text, $7::boolean,
        $8::timestamptz, $9::text);

-- A report that was made.
-- $1 farm bigint, $2 report bigint, $3 name text, $4 licence text, $5 from_day date, $6 to_day date, $7 standing text, $8 file_name text, $9 sha256 bytea, $10 figures text, $11 program text, $12 made_at timestamptz, $13 person text
-- returns nothing
insert into report (farm_id, report, name, licence, from_day, to_day, standing, file_name, sha256,
                    figures, program, made_at, person)
values ($1::bigint, $2::bigint, $3::text, $4::text, $5::date, $6::date, $7::text, $8::text,
        $9::bytea, $10::text, $11::text, $12::timestamptz, $13::text);

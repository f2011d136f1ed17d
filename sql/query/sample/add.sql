-- A sample, when it is not on record yet.
-- $1 farm bigint, $2 sample text, $3 station text, $4 position text, $5 purpose text, $6 kind text, $7 taken_from timestamptz, $8 taken_until timestamptz, $9 taken_by text, $10 receipt bigint
-- returns nothing
insert into sample (farm_id, sample, station, position, purpose, kind, taken_from, taken_until,
                    taken_by, receipt)
values ($1::bigint, $2::text, $3::text, $4::text, $5::text, $6::text, $7::timestamptz,
        $8::timestamptz, $9::text, $10::bigint)
on conflict (farm_id, sample) do nothing;

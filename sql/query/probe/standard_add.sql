-- A standard in which a probe was read at a visit.
-- $1 farm bigint, $2 visit integer, $3 parameter text, $4 nth integer, $5 standard numeric, $6 found numeric, $7 after numeric, $8 name text, $9 meter text, $10 lot text, $11 expires date, $12 temperature numeric
-- returns nothing
insert into probe_standard (farm_id, visit, parameter, nth, standard, found, after, name, meter,
                            lot, expires, temperature)
values ($1::bigint, $2::int, $3::text, $4::int, $5::numeric, $6::numeric, $7::numeric, $8::text,
        $9::text, $10::text, $11::date, $12::numeric);

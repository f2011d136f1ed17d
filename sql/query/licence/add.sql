-- A licence as the farm file has it now.
-- $1 farm bigint, $2 licence text, $3 version integer, $4 number text, $5 title text, $6 holder text, $7 authority text, $8 dated date, $9 ends date, $10 continued_by text, $11 renewal_by date, $12 certification text, $13 signer text, $14 gone boolean, $15 definition text
-- returns nothing
with base as (
    insert into licence (farm_id, licence) values ($1::bigint, $2::text) on conflict do nothing)
insert into licence_version (farm_id, licence, version, number, title, holder, authority, dated,
                             ends, continued_by, renewal_by, certification, signer, gone,
                             definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::text, $7::text, $8::date, $9::date,
        $10::text, $11::date, $12::text, $13::text, $14::boolean, $15::text);

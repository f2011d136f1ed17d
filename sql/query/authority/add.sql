-- An authority as the farm file has it now.
-- $1 farm bigint, $2 authority text, $3 version integer, $4 name text, $5 decides text, $6 call text, $7 gone boolean, $8 definition text
-- returns nothing
with base as (
    insert into authority (farm_id, authority) values ($1::bigint, $2::text)
    on conflict do nothing)
insert into authority_version (farm_id, authority, version, name, decides, call, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::text, $7::boolean, $8::text);

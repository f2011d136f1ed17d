-- A person as the farm file has them now.
-- $1 farm bigint, $2 person text, $3 version integer, $4 name text, $5 position text, $6 may text, $7 since date, $8 until date, $9 on_word_of text, $10 gone boolean, $11 definition text
-- returns nothing
with base as (
    insert into person (farm_id, person) values ($1::bigint, $2::text) on conflict do nothing)
insert into person_version (farm_id, person, version, name, position, may, since, until,
                            on_word_of, gone, definition)
values ($1::bigint, $2::text, $3::int, $4::text, $5::text, $6::text, $7::date, $8::date, $9::text,
        $10::boolean, $11::text);

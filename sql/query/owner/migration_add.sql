-- Note that a migration was run.
-- $1 number integer, $2 name text, $3 sha256 bytea
-- returns nothing
insert into weirbook.migration (number, name, sha256)
values ($1::integer, $2::text, $3::bytea);

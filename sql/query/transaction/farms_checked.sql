-- Say which farms this transaction may see, and tell the newest migration, so that a program
-- older than the schema stops at once.
-- $1 farms text
-- returns rows: farms text, newest integer
select set_config('weirbook.farms', $1::text, true),
       (select max(number) from weirbook.migration);

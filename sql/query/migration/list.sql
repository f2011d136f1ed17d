-- The migrations that were run, in order.
-- returns rows: number integer, name text, sha256 bytea
select number, name, sha256
  from weirbook.migration
 order by number;

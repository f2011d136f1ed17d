-- A table of the same kind as weirbook.reading: same columns, checks, key and months. What a file
-- of clean rows is copied into, for comparison.
create schema bench;
create table bench.reading (like weirbook.reading including all) partition by range (at);

do $$
declare
    part record;
begin
    for part in select c.relname, pg_get_expr(c.relpartbound, c.oid) as bounds
                  from pg_class c
                  join pg_inherits i on i.inhrelid = c.oid
                 where i.inhparent = 'weirbook.reading'::regclass
    loop
        execute format('create table bench.%I partition of bench.reading %s', part.relname,
                       part.bounds);
    end loop;
end $$;

-- Let one program at a time bring the schema up to date, until the transaction ends.
-- returns rows: locked void
select pg_advisory_xact_lock(hashtextextended('weirbook.migration', 0));

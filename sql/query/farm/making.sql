-- Let one program at a time make a farm, until the transaction ends.
-- returns rows: locked void
select pg_advisory_xact_lock(hashtextextended('weirbook.farm', 0));

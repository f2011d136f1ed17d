-- One transaction at a time works out what tests say of a farm's readings: two that did so side by
-- side would not see each other's readings.
-- $1 farm bigint
-- returns rows: locked void
select pg_advisory_xact_lock(hashtextextended('weirbook.sensor_flag ' || $1::bigint, 0));

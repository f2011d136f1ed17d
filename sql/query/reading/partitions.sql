-- Make sure that the months between two instants can hold readings.
-- $1 first_at timestamptz, $2 last_at timestamptz
-- returns rows: made integer
select reading_partitions($1::timestamptz, $2::timestamptz);

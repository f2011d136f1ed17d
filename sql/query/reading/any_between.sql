-- Whether any of these series has a reading between two instants, both included.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 last_at timestamptz
-- returns rows: found boolean
select exists (select 1
                 from reading_now
                where farm_id = $1::bigint
                  and series_id = any ($2::bigint[])
                  and at >= $3::timestamptz
                  and at <= $4::timestamptz);

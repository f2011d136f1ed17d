-- The instants of a series' last reading before a span and its first one after, within 400 days.
-- $1 farm bigint, $2 series bigint, $3 first_at timestamptz, $4 until_at timestamptz
-- returns rows: before bigint, after bigint
select us((select at
             from reading_now
            where farm_id = $1::bigint
              and series_id = $2::bigint
              and at >= $3::timestamptz - interval '400 days'
              and at < $3::timestamptz
            order by at desc
            limit 1)),
       us((select at
             from reading_now
            where farm_id = $1::bigint
              and series_id = $2::bigint
              and at >= $4::timestamptz
              and at < $4::timestamptz + interval '400 days'
            order by at
            limit 1));

-- The oldest of a series' newest instants with a reading before a span, within ten years, and how many there are.
-- $1 farm bigint, $2 series bigint, $3 first_at timestamptz, $4 most integer
-- returns rows: oldest bigint, instants bigint
select us(min(at)), count(*)
  from (select distinct at
          from reading_stored
         where farm_id = $1::bigint
           and series_id = $2::bigint
           and at >= $3::timestamptz - interval '3660 days'
           and at < $3::timestamptz
         order by at desc
         limit $4::int) newest;

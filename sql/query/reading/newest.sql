-- Of some series: the oldest of its newest instants with a reading before a span, within so many days, and how many there are.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 most integer[], $5 days integer
-- returns rows: oldest bigint, instants bigint
select us(n.oldest), n.instants
  from unnest($2::bigint[], $4::int[]) with ordinality as s (series_id, most, nth)
 cross join lateral (
       select min(at) as oldest, count(*) as instants
         from (select distinct at
                 from reading_stored
                where farm_id = $1::bigint
                  and series_id = s.series_id
                  and at >= $3::timestamptz - make_interval(days => $5::int)
                  and at < $3::timestamptz
                order by at desc
                limit s.most) newest) n
 order by s.nth;

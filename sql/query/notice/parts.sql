-- What is told with a notice's own finding, oldest first, as many as asked for, and how many in all.
-- $1 farm bigint, $2 finding bigint, $3 opening integer, $4 most integer
-- returns rows: words text, parts bigint
select f.words, count(*) over ()
  from notice_part p
  join finding f on f.farm_id = p.farm_id and f.finding = p.part
 where p.farm_id = $1::bigint
   and p.finding = $2::bigint
   and p.opening = $3::integer
 order by f.from_day, f.finding
 limit $4::integer;

-- Verdicts of clauses in a span, or in those of the verdicts that come, but for those that stay to be written over. They are found by the key and then by where they lie: joined, the farm's verdicts of all years would be gone through.
-- $1 farm bigint, $2 clause text[], $3 from_day date[], $4 to_day date[], $5 stays boolean[], $6 first_day date, $7 last_day date
-- returns nothing
with k as materialized (
    select *
      from unnest($2::text[], $3::date[], $4::date[], $5::boolean[])
        as k (clause, from_day, to_day, stays)
)
delete from verdict
 where farm_id = $1::bigint
   and ctid = any (array(
       select o.place
         from (select clause, from_day, to_day from k
                union
               select clause, $6::date, $7::date from k) s
        cross join lateral (select v.ctid as place, v.from_day, v.to_day
                              from verdict v
                             where v.farm_id = $1::bigint
                               and v.clause = s.clause
                               and v.from_day >= s.from_day
                               and v.to_day <= s.to_day
                            offset 0) o
        where not exists (select
                            from k
                           where k.stays
                             and k.clause = s.clause
                             and k.from_day = o.from_day
                             and k.to_day = o.to_day)));

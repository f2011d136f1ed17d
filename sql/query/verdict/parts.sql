-- The digests of what verdicts have of windows and days, in the order of their keys; null where there is none.
-- $1 farm bigint, $2 clause text[], $3 from_day date[], $4 to_day date[]
-- returns rows: parts_sha256 bytea
select (select v.parts_sha256::bytea
          from verdict v
         where v.farm_id = $1::bigint
           and v.clause = k.clause
           and v.from_day = k.from_day
           and v.to_day = k.to_day)
  from unnest($2::text[], $3::date[], $4::date[]) with ordinality
    as k (clause, from_day, to_day, nth)
 order by k.nth;

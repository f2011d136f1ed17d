-- Verdicts of periods that meet a span, in the order of the licence's table.
-- $1 farm bigint, $2 from_day date, $3 to_day date
-- returns rows: clause text, from_day date, to_day date, version integer, standing text, side text, so_far boolean, near_bound boolean, compared text, bound text, unit text, samples integer, beyond integer, set_aside integer, reason text, words text, judged_at bigint
select v.clause::text, v.from_day, v.to_day, v.version, v.standing, v.side, v.so_far,
       v.near_bound, v.compared, v.bound, v.unit, v.samples, v.beyond, v.set_aside, v.reason,
       v.words, us(v.judged_at)
  from verdict v
  join limit_version l on l.farm_id = v.farm_id and l.clause = v.clause and l.version = v.version
 where v.farm_id = $1::bigint
   and v.from_day <= $3::date
   and v.to_day >= $2::date
 order by v.from_day, l.place, v.clause;

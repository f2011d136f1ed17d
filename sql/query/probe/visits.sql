-- Every visit, withdrawn or not, by instrument and time.
-- $1 farm bigint
-- returns rows: visit integer, instrument text, at bigint, maintenance text, note text, person text, recorded_at bigint, withdrawn text, withdrawn_by text, withdrawn_at bigint, withdrawn_seen text
select v.visit, v.instrument::text, us(v.at), v.maintenance, v.note, v.person::text,
       us(v.recorded_at), w.reason, w.person::text, us(w.at), s.person::text
  from probe_visit v
  left join probe_withdrawn w on w.farm_id = v.farm_id and w.visit = v.visit
  left join probe_withdrawn_seen s on s.farm_id = v.farm_id and s.visit = v.visit
 where v.farm_id = $1::bigint
 order by v.instrument, v.at, v.visit;

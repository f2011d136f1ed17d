-- Every rule about a source's words, oldest first, with who saw it then or later, and those that were
-- taken back.
-- $1 farm bigint
-- returns rows: source text, kind text, word text, nth integer, means text, reason text, person text, second_person text, made_at bigint, withdrawn text, withdrawn_by text, withdrawn_at bigint
select r.source::text, r.kind, r.word, r.nth, r.means, r.reason, r.person::text,
       coalesce(r.second_person, s.person)::text, us(r.made_at), w.reason, w.person::text,
       us(w.withdrawn_at)
  from source_rule r
  left join source_rule_seen s on s.farm_id = r.farm_id and s.source = r.source
                              and s.kind = r.kind and s.word = r.word and s.nth = r.nth
  left join source_rule_withdrawn w on w.farm_id = r.farm_id and w.source = r.source
                                   and w.kind = r.kind and w.word = r.word and w.nth = r.nth
 where r.farm_id = $1::bigint
 order by r.made_at, r.source, r.kind, r.word, r.nth;

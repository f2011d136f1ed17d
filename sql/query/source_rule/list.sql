-- Every rule about a source's words, oldest first.
-- $1 farm bigint
-- returns rows: source text, kind text, word text, means text, reason text, person text, second_person text, made_at bigint
select source::text, kind, word, means, reason, person::text, second_person::text, us(made_at)
  from source_rule
 where farm_id = $1::bigint
 order by made_at, source, kind, word;

-- The newest answer to each check.
-- $1 farm bigint
-- returns rows: visit integer, parameter text, answer text, after_at bigint, cleaned_at bigint, until_at bigint, unit text, fouling text, drift text, reason text, person text, second_person text, at bigint
select distinct on (visit, parameter collate "C") visit, parameter::text, answer, us(after_at), us(cleaned_at),
       us(until_at), unit, fouling::text, drift::text, reason, person::text, second_person::text,
       us(at)
  from probe_answer
 where farm_id = $1::bigint
 order by visit, parameter collate "C", nth desc;

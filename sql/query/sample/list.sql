-- Those of these samples that are on record.
-- $1 farm bigint, $2 samples jsonb
-- returns rows: sample text, station text, position text, purpose text, kind text, taken_from bigint, taken_until bigint, taken_by text, receipt bigint
select sample, station, position, purpose, kind, us(taken_from), us(taken_until), taken_by, receipt
  from sample
 where farm_id = $1::bigint
   and sample in (select jsonb_array_elements_text($2::jsonb))
 order by sample;

-- Samples whose results lie in a span, by the number their readings carry.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: portion bigint, sample text, replicate text, purpose text, taken_by text
select p.portion, p.sample, p.replicate, s.purpose, s.taken_by
  from sample s
  join sample_portion p on p.farm_id = s.farm_id and p.sample = s.sample
 where s.farm_id = $1::bigint
   and s.taken_from >= $2::timestamptz
   and s.taken_from < $3::timestamptz;

-- Samples taken in a span whose results were held against a document, the newest check last, and
-- whether one of the results was corrected since.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: sample text, document bigint, name text, person text, checked_at bigint, results text, corrected_since boolean
select k.sample, k.document, d.name, k.person::text, us(k.checked_at), k.results,
       exists (select 1
                 from sample_portion p
                 join correction c on c.farm_id = p.farm_id and c.portion = p.portion
                where p.farm_id = k.farm_id and p.sample = k.sample
                  and c.made_at > k.checked_at)
  from result_check k
  join sample s on s.farm_id = k.farm_id and s.sample = k.sample
  join document d on d.farm_id = k.farm_id and d.document = k.document
 where k.farm_id = $1::bigint
   and s.taken_from < $3::timestamptz
   and s.taken_until >= $2::timestamptz
 order by k.sample, k.checked_at, k.document;

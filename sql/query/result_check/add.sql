-- A person held a sample's results against a document.
-- $1 farm bigint, $2 sample text, $3 document bigint, $4 results text, $5 person text, $6 checked_at timestamptz
-- returns nothing
insert into result_check (farm_id, sample, document, nth, results, person, checked_at)
select $1::bigint, $2::text, $3::bigint, coalesce(max(nth), 0) + 1, $4::text, $5::text,
       $6::timestamptz
  from result_check
 where farm_id = $1::bigint and sample = $2::text and document = $3::bigint;

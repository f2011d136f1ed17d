-- Verdicts of clauses that lie in spans, before they are worked out again.
-- $1 farm bigint, $2 spans jsonb
-- returns nothing
delete from verdict v
 using (select distinct clause, first_day, last_day
          from jsonb_to_recordset($2::jsonb) as s (clause text, first_day date, last_day date)) s
 where v.farm_id = $1::bigint
   and v.clause = s.clause
   and v.from_day >= s.first_day
   and v.to_day <= s.last_day;

-- What every document proves.
-- $1 farm bigint
-- returns rows: document bigint, kind text, about text, person text, tied_at bigint
select document, kind, about, person::text, us(tied_at)
  from document_tie
 where farm_id = $1::bigint
 order by document, kind, about;

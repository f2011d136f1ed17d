-- One row set aside, and whether it was answered.
-- $1 farm bigint, $2 receipt bigint, $3 line integer, $4 col integer
-- returns rows: reason text, words text, row_text text, station text, parameter text, at bigint, qualifier "char", reported text, unit text, sample text, answered boolean
select a.reason, a.words, a.row_text, a.station, a.parameter, us(a.at), a.qualifier,
       a.reported::text, a.unit, a.sample, n.farm_id is not null
  from set_aside a
  left join set_aside_answer n on n.farm_id = a.farm_id and n.receipt = a.receipt
                              and n.line = a.line and n.col = a.col
   and not exists (select 1
                      from set_aside_put_back b
                     where b.farm_id = n.farm_id and b.receipt = n.receipt
                       and b.line = n.line and b.col = n.col and b.nth = n.nth)
 where a.farm_id = $1::bigint
   and a.receipt = $2::bigint
   and a.line = $3::int
   and a.col = $4::int;

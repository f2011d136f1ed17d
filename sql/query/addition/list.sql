-- What was put in from one instant to another, also in part, oldest first.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: number integer, station text, kind text, product text, amount numeric, unit text, at bigint, until bigint, nitrogen_percent numeric, phosphorus_percent numeric, withhold_hours integer, reason text, instead_of integer, person text, replaced_by integer, taken_back text
select a.number, a.station::text, a.kind, a.product, a.amount, a.unit, us(a.at), us(a.until),
       a.nitrogen_percent, a.phosphorus_percent, a.withhold_hours, a.reason, a.instead_of,
       a.person::text, later.number, back.reason
  from addition a
  left join addition later on later.farm_id = a.farm_id and later.instead_of = a.number
  left join addition_taken_back back on back.farm_id = a.farm_id and back.number = a.number
 where a.farm_id = $1::bigint
   and a.at < $3::timestamptz
   and a.until >= $2::timestamptz
 order by a.at, a.number;

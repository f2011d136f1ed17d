-- Something put in, numbered after those before it.
-- $1 farm bigint, $2 station text, $3 kind text, $4 product text, $5 amount numeric, $6 unit text, $7 at timestamptz, $8 until timestamptz, $9 nitrogen_percent numeric, $10 phosphorus_percent numeric, $11 withhold_hours integer, $12 reason text, $13 instead_of integer, $14 person text, $15 said_at timestamptz
-- returns rows: number integer
insert into addition (farm_id, number, station, kind, product, amount, unit, at, until,
                      nitrogen_percent, phosphorus_percent, withhold_hours, reason, instead_of,
                      person, said_at)
select $1::bigint, coalesce(max(number), 0) + 1, $2::text, $3::text, $4::text, $5::numeric,
       $6::text, $7::timestamptz, $8::timestamptz, $9::numeric, $10::numeric, $11::int, $12::text,
       $13::int, $14::text, $15::timestamptz
  from addition
 where farm_id = $1::bigint
returning number;

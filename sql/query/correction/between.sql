-- Corrections of readings in a span, with the value as first stored.
-- $1 farm bigint, $2 first_at timestamptz, $3 until_at timestamptz
-- returns rows: series_id bigint, station text, parameter text, at bigint, until bigint, portion bigint, nth integer, kind text, qualifier "char", reported text, unit text, reason text, person text, second_person text, made_at bigint, first_qualifier "char", first_reported text, first_unit text
select c.series_id, s.station::text, s.parameter::text, us(c.at), us(c.until), c.portion, c.nth,
       c.kind, c.qualifier, c.reported::text, c.unit, c.reason, c.person::text,
       c.second_person::text, us(c.made_at), r.first_qualifier, r.first_reported::text,
       r.first_unit
  from correction c
  join series s on s.farm_id = c.farm_id and s.series_id = c.series_id
  join reading_now r on r.farm_id = c.farm_id and r.series_id = c.series_id and r.at = c.at
                    and r.until = c.until and r.portion = c.portion
                    and r.at >= $2::timestamptz and r.at < $3::timestamptz
 where c.farm_id = $1::bigint
   and c.at >= $2::timestamptz
   and c.at < $3::timestamptz
 order by c.made_at, s.station, s.parameter, c.at, c.nth;

-- The standards of every visit, by visit, parameter and order.
-- $1 farm bigint
-- returns rows: visit integer, parameter text, standard text, found text, after text, name text, meter text, lot text, expires date, temperature text
select visit, parameter::text, standard::text, found::text, after::text, name, meter, lot, expires,
       temperature::text
  from probe_standard
 where farm_id = $1::bigint
 order by visit, parameter collate "C", nth;

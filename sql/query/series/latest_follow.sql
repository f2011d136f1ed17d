-- The newest reading of a series was corrected: it is shown as it now stands. A blank is none of the
-- water's readings.
-- $1 farm bigint, $2 series_id bigint, $3 at timestamptz, $4 portion bigint, $5 qualifier "char", $6 reported numeric, $7 unit text
-- returns nothing
update series_latest
   set qualifier = $5::"char", reported = $6::numeric, unit = $7::text
 where farm_id = $1::bigint
   and series_id = $2::bigint
   and at = $3::timestamptz
   and not exists (select 1
                     from sample_portion p
                     join sample m on m.farm_id = p.farm_id and m.sample = p.sample
                    where p.farm_id = $1::bigint
                      and p.portion = $4::bigint
                      and m.purpose = 'blank');

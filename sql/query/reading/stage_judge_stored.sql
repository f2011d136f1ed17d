-- Rows that speak of a stored reading: the same ('k', as first stored or as corrected) or not ('s').
-- In another unit the same is what has the value that stands now.
-- $1 farm bigint, $2 series bigint[], $3 first_at timestamptz, $4 last_at timestamptz
-- returns rows: known bigint, contradict bigint
with judged as (
    update staged s
       set answer = case when (r.first_qualifier, r.first_unit) = (s.qualifier, s.unit)
                              and r.first_reported is not distinct from s.reported
                           or (r.qualifier, r.unit) = (s.qualifier, s.unit)
                              and r.reported is not distinct from s.reported
                           or r.qualifier = s.qualifier and r.unit <> s.unit
                              and coalesce(abs(r.value - s.value)
                                           <= 1e-14 * greatest(abs(r.value), abs(s.value)), true)
                         then 'k' else 's' end
      from reading_now r
     where s.answer is null
       and r.farm_id = $1::bigint
       and r.series_id = any ($2::bigint[])
       and r.at >= $3::timestamptz
       and r.at <= $4::timestamptz
       and r.series_id = s.series_id and r.at = s.at and r.until = s.until
       and r.portion = s.portion
    returning s.answer
)
select count(*) filter (where answer = 'k'), count(*) filter (where answer = 's') from judged;

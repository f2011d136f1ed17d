-- Rows of one file that speak of the same thing: all alike, the first counts and the others are
-- known already ('k', unless stage_judge_alike finds that it contradicts what is stored); else they
-- contradict each other ('f') and none counts. Alike in several units are those of one value; of one
-- unit the number itself decides.
-- $1 words text
-- returns rows: known bigint, contradict bigint
with twice as (
    select series_id, at, until, portion
      from staged
     group by series_id, at, until, portion
    having count(*) > 1
), told as (
    select series_id, at, until, portion,
           count(distinct s.qualifier) = 1
               and count(distinct (s.reported, s.unit)) = count(distinct s.unit)
               and coalesce(max(s.value) - min(s.value)
                            <= 1e-14 * greatest(abs(max(s.value)), abs(min(s.value))),
                            true) as alike, -- without a number: not detected
           (array_agg(s.line order by s.line, s.col))[1] as first_line,
           (array_agg(s.col order by s.line, s.col))[1] as first_col,
           string_agg(distinct s.line::text, ', ') as others
      from staged s
      join twice using (series_id, at, until, portion)
     group by series_id, at, until, portion
), judged as (
    update staged s
       set answer = case when t.alike then 'k' else 'f' end,
           said = case when not t.alike then $1::text || t.others end
      from told t
     where s.series_id = t.series_id and s.at = t.at and s.until = t.until
       and s.portion = t.portion
       and (not t.alike or (s.line, s.col) <> (t.first_line, t.first_col))
    returning s.answer
)
select count(*) filter (where answer = 'k'), count(*) filter (where answer = 'f') from judged;

-- Rows of the file that are alike to one that contradicts what is stored: they contradict it too,
-- and are not known already.
-- returns rows: known bigint, contradict bigint
with judged as (
    update staged s
       set answer = 's'
      from staged f
     where s.answer = 'k'
       and f.answer = 's'
       and f.series_id = s.series_id and f.at = s.at and f.until = s.until
       and f.portion = s.portion
    returning s.answer
)
select -count(*), count(*) from judged;

-- Rows of one file that speak of the same thing: all alike, the first counts and the others are
-- known already ('k'); else they contradict each other ('f') and none counts.
-- $1 words text
-- returns nothing
update staged s
   set answer = case when g.kinds > 1 then 'f' else 'k' end,
       said = case when g.kinds > 1 then $1::text || g.others end
  from (select series_id, at, until, portion,
               count(distinct (qualifier, reported, unit)) as kinds,
               min((line, col)::text) as any_row,
               (array_agg(line order by line, col))[1] as first_line,
               (array_agg(col order by line, col))[1] as first_col,
               string_agg(distinct line::text, ', ') as others
          from staged
         group by series_id, at, until, portion
        having count(*) > 1) g
 where s.series_id = g.series_id and s.at = g.at and s.until = g.until and s.portion = g.portion
   and (g.kinds > 1 or (s.line, s.col) <> (g.first_line, g.first_col));

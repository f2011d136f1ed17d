-- Mark readings of a series in a span, or of a sample, as in doubt.
-- $1 farm bigint, $2 series bigint, $3 from_at timestamptz, $4 until_at timestamptz, $5 sample text, $6 kind text, $7 words text, $8 person text, $9 source text, $10 set_at timestamptz
-- returns rows: mark integer
insert into doubt_mark (farm_id, mark, series_id, from_at, until_at, sample, kind, words, person,
                        source, set_at)
select $1::bigint, coalesce(max(mark), 0) + 1, $2::bigint, $3::timestamptz, $4::timestamptz,
       $5::text, $6::text, $7::text, $8::text, $9::text, $10::timestamptz
  from doubt_mark
 where farm_id = $1::bigint
returning mark;

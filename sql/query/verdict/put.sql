-- Verdicts of one judging, each column an array: over those of the same clause and days.
-- $1 farm bigint, $2 judged_at timestamptz, $3 clause text[], $4 from_day date[], $5 to_day date[], $6 version integer[], $7 from_at timestamptz[], $8 until_at timestamptz[], $9 standing text[], $10 side text[], $11 so_far boolean[], $12 near_bound boolean[], $13 figure text[], $14 compared text[], $15 bound text[], $16 unit text[], $17 samples integer[], $18 beyond integer[], $19 less_thans integer[], $20 set_aside integer[], $21 left_out integer[], $22 in_doubt integer[], $23 reason text[], $24 words text[], $25 evidence_sha256 bytea[], $26 parts_sha256 bytea[]
-- returns nothing
insert into verdict (farm_id, judged_at, clause, from_day, to_day, version, from_at, until_at,
                     standing, side, so_far, near_bound, figure, compared, bound, unit, samples,
                     beyond, less_thans, set_aside, left_out, in_doubt, reason, words,
                     evidence_sha256, parts_sha256)
select $1::bigint, $2::timestamptz, v.clause, v.from_day, v.to_day, v.version, v.from_at,
       v.until_at, v.standing, v.side, v.so_far, v.near_bound, v.figure, v.compared, v.bound,
       v.unit, v.samples, v.beyond, v.less_thans, v.set_aside, v.left_out, v.in_doubt, v.reason,
       v.words, v.evidence_sha256, v.parts_sha256
  from unnest($3::text[], $4::date[], $5::date[], $6::int[], $7::timestamptz[], $8::timestamptz[],
              $9::text[], $10::text[], $11::boolean[], $12::boolean[], $13::text[], $14::text[],
              $15::text[], $16::text[], $17::int[], $18::int[], $19::int[], $20::int[], $21::int[],
              $22::int[], $23::text[], $24::text[], $25::bytea[],
              $26::bytea[])
    as v (clause, from_day, to_day, version, from_at, until_at, standing, side, so_far, near_bound,
          figure, compared, bound, unit, samples, beyond, less_thans, set_aside, left_out,
          in_doubt, reason, words, evidence_sha256, parts_sha256)
    on conflict (farm_id, clause, from_day, to_day) do update
   set judged_at = excluded.judged_at, version = excluded.version,
       from_at = excluded.from_at, until_at = excluded.until_at,
       standing = excluded.standing, side = excluded.side, so_far = excluded.so_far,
       near_bound = excluded.near_bound, figure = excluded.figure,
       compared = excluded.compared, bound = excluded.bound, unit = excluded.unit,
       samples = excluded.samples, beyond = excluded.beyond,
       less_thans = excluded.less_thans, set_aside = excluded.set_aside,
       left_out = excluded.left_out, in_doubt = excluded.in_doubt,
       reason = excluded.reason, words = excluded.words,
       evidence_sha256 = excluded.evidence_sha256,
       parts_sha256 = excluded.parts_sha256;

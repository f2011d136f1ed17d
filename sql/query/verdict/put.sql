-- Verdicts of one judging.
-- $1 farm bigint, $2 verdicts jsonb, $3 judged_at timestamptz
-- returns nothing
insert into verdict (farm_id, clause, from_day, to_day, version, from_at, until_at, standing, side,
                     so_far, near_bound, figure, compared, bound, unit, samples, beyond,
                     less_thans, set_aside, left_out, in_doubt, reason, words, evidence_sha256,
                     judged_at)
select $1::bigint, v.clause, v.from_day, v.to_day, v.version, v.from_at, v.until_at, v.standing,
       v.side, v.so_far, v.near_bound, v.figure, v.compared, v.bound, v.unit, v.samples, v.beyond,
       v.less_thans, v.set_aside, v.left_out, v.in_doubt, v.reason, v.words,
       decode(v.evidence_sha256, 'hex'), $3::timestamptz
  from jsonb_to_recordset($2::jsonb)
    as v (clause text, from_day date, to_day date, version int, from_at timestamptz,
          until_at timestamptz, standing text, side text, so_far boolean, near_bound boolean,
          figure text, compared text, bound text, unit text, samples int, beyond int,
          less_thans int, set_aside int, left_out int, in_doubt int, reason text, words text,
          evidence_sha256 text);

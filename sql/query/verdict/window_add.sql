-- The windows of verdicts, in order of time.
-- $1 farm bigint, $2 windows jsonb
-- returns nothing
insert into verdict_window (farm_id, clause, from_day, to_day, nth, first_day, last_day, first_at,
                            until_at, standing, side, so_far, samples, beyond, allowed, too_few,
                            figure, compared, reason, note)
select $1::bigint, w.clause, w.from_day, w.to_day, w.nth, w.first_day, w.last_day, w.first_at,
       w.until_at, w.standing, w.side, w.so_far, w.samples, w.beyond, w.allowed, w.too_few,
       w.figure, w.compared, w.reason, w.note
  from jsonb_to_recordset($2::jsonb)
    as w (clause text, from_day date, to_day date, nth int, first_day date, last_day date,
          first_at timestamptz, until_at timestamptz, standing text, side text, so_far boolean,
          samples int, beyond int, allowed int, too_few boolean, figure text, compared text,
          reason text, note text);

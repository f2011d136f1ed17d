-- The windows of verdicts, in order of time, each column an array.
-- $1 farm bigint, $2 clause text[], $3 from_day date[], $4 to_day date[], $5 nth integer[], $6 first_day date[], $7 last_day date[], $8 first_at timestamptz[], $9 until_at timestamptz[], $10 standing text[], $11 side text[], $12 so_far boolean[], $13 samples integer[], $14 beyond integer[], $15 allowed integer[], $16 too_few boolean[], $17 figure text[], $18 compared text[], $19 reason text[], $20 note text[]
-- returns nothing
insert into verdict_window (farm_id, clause, from_day, to_day, nth, first_day, last_day, first_at,
                            until_at, standing, side, so_far, samples, beyond, allowed, too_few,
                            figure, compared, reason, note)
select $1::bigint, w.clause, w.from_day, w.to_day, w.nth, w.first_day, w.last_day, w.first_at,
       w.until_at, w.standing, w.side, w.so_far, w.samples, w.beyond, w.allowed, w.too_few,
       w.figure, w.compared, w.reason, w.note
  from unnest($2::text[], $3::date[], $4::date[], $5::int[], $6::date[], $7::date[],
              $8::timestamptz[], $9::timestamptz[], $10::text[], $11::text[], $12::boolean[],
              $13::int[], $14::int[], $15::int[], $16::boolean[], $17::text[], $18::text[],
              $19::text[], $20::text[])
    as w (clause, from_day, to_day, nth, first_day, last_day, first_at, until_at, standing, side,
          so_far, samples, beyond, allowed, too_few, figure, compared, reason, note);

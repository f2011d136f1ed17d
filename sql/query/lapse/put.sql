-- What became of one thing that was due.
-- $1 farm bigint, $2 clause text, $3 from_day date, $4 due_day date, $5 lapses_day date, $6 version integer, $7 state text, $8 required integer, $9 done integer, $10 reason text, $11 words text, $12 judged_at timestamptz
-- returns nothing
insert into lapse (farm_id, clause, from_day, due_day, lapses_day, version, state, required, done,
                   reason, words, judged_at)
values ($1::bigint, $2::text, $3::date, $4::date, $5::date, $6::int, $7::text, $8::int, $9::int,
        $10::text, $11::text, $12::timestamptz)
on conflict (farm_id, clause, from_day) do update
   set due_day = excluded.due_day, lapses_day = excluded.lapses_day, version = excluded.version,
       state = excluded.state, required = excluded.required, done = excluded.done,
       reason = excluded.reason, words = excluded.words, judged_at = excluded.judged_at;

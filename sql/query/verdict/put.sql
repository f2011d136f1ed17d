-- A verdict, in place of an earlier one of the same clause and period.
-- $1 farm bigint, $2 clause text, $3 from_day date, $4 to_day date, $5 version integer, $6 from_at timestamptz, $7 until_at timestamptz, $8 standing text, $9 side text, $10 so_far boolean, $11 near_bound boolean, $12 figure text, $13 compared text, $14 bound text, $15 unit text, $16 samples integer, $17 beyond integer, $18 less_thans integer, $19 set_aside integer, $20 left_out integer, $21 in_doubt integer, $22 reason text, $23 words text, $24 evidence_sha256 bytea, $25 judged_at timestamptz
-- returns nothing
insert into verdict (farm_id, clause, from_day, to_day, version, from_at, until_at, standing, side,
                     so_far, near_bound, figure, compared, bound, unit, samples, beyond,
                     less_thans, set_aside, left_out, in_doubt, reason, words, evidence_sha256,
                     judged_at)
values ($1::bigint, $2::text, $3::date, $4::date, $5::int, $6::timestamptz, $7::timestamptz,
        $8::text, $9::text, $10::boolean, $11::boolean, $12::text, $13::text, $14::text, $15::text,
        $16::int, $17::int, $18::int, $19::int, $20::int, $21::int, $22::text, $23::text,
        $24::bytea, $25::timestamptz);

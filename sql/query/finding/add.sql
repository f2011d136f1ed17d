-- Something a person must answer, unless it is there already.
-- $1 farm bigint, $2 finding bigint, $3 kind text, $4 subject text, $5 station text, $6 from_day date, $7 aware_at timestamptz, $8 words text
-- returns nothing
insert into finding (farm_id, finding, kind, subject, station, from_day, aware_at, words)
values ($1::bigint, $2::bigint, $3::text, $4::text, $5::text, $6::date, $7::timestamptz, $8::text)
on conflict (farm_id, finding) do nothing;

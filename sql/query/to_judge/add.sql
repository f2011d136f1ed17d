-- A window of evidence that changed.
-- $1 farm bigint, $2 series_id bigint, $3 station text, $4 parameter text, $5 first_day date, $6 last_day date
-- returns nothing
insert into to_judge (farm_id, series_id, station, parameter, first_day, last_day)
values ($1::bigint, $2::bigint, $3::text, $4::text, $5::date, $6::date);

-- Spans of a series that tests flagged, from a JSON list.
-- $1 farm bigint, $2 series bigint, $3 spans jsonb
-- returns nothing
insert into sensor_flag (farm_id, series_id, test, from_at, until_at, flag, readings, value,
                         continues, words)
select $1::bigint, $2::bigint, s.test,
       timestamptz 'epoch' + s.from_us * interval '1 microsecond',
       timestamptz 'epoch' + s.until_us * interval '1 microsecond',
       s.flag, s.readings, s.value, s.continues, s.words
  from jsonb_to_recordset($3::jsonb)
       as s (test text, from_us bigint, until_us bigint, flag smallint, readings bigint,
             value double precision, continues boolean, words text);

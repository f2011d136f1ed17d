-- Who read a field meter: of a reading without a sample, as its row named them.
alter table reading_note add column taken_by text;

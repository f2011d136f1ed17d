-- Rows set aside into their staging table.
-- returns nothing
copy staged_aside (farm_id, receipt, line, col, reason, words, todo, row_text, station, parameter,
                   at, qualifier, reported, unit, sample, from_probe)
from stdin (format binary);

-- Readings straight in.
-- returns nothing
copy reading (farm_id, series_id, at, until, portion, value, receipt, line, col, flags, qualifier,
              reported, unit)
from stdin (format binary);

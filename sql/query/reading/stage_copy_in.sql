-- Rows of a receipt into the staging table.
-- returns nothing
copy staged (farm_id, series_id, at, until, portion, value, receipt, line, col, flags, qualifier,
             reported, unit, detection, quantitation, doubt,
             taken_by)
from stdin (format binary);

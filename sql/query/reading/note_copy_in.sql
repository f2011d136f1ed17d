-- Detection and quantitation limits and doubts of readings into their staging table.
-- returns nothing
copy staged_note (farm_id, series_id, at, until, portion, detection, quantitation, doubt,
                  taken_by)
from stdin (format binary);

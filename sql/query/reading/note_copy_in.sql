-- Detection and quantitation limits and doubts of readings.
-- returns nothing
copy reading_note (farm_id, series_id, at, until, portion, detection, quantitation, doubt)
from stdin (format binary);

-- What arrives by itself: files that a watched folder brings, and what is found without a row
-- arriving.

-- A file that the farm's own standing process took in has no person: its source answers for it.
alter table receipt alter column person drop not null;

alter table finding drop constraint finding_kind_check;
alter table finding add constraint finding_kind_check check (kind in ('limit', 'interval',
    'discharge', 'person', 'pump stop', 'salinity fall', 'silence', 'quiet folder', 'refused file',
    'calibration', 'coarse limit', 'quality check', 'notice'));

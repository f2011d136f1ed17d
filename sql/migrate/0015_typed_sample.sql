-- The number of a sample can be typed in place of one that is set aside.
alter table set_aside_typed drop constraint set_aside_typed_what_check;
alter table set_aside_typed add constraint set_aside_typed_what_check
    check (what in ('value', 'time', 'station', 'parameter', 'unit', 'sample'));

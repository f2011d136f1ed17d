-- Check samples that say what they check: clean water taken through the same steps, and a second
-- sample of the same water.
alter table sample drop constraint sample_purpose_check;
alter table sample add constraint sample_purpose_check check (purpose in ('required', 'extra',
    'looking for a cause', 'check', 'the authority''s own', 'blank', 'duplicate'));

-- Whether the list of migrations is there.
-- returns rows: there boolean
select to_regclass('weirbook.migration') is not null;

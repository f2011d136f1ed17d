-- Workbooks: which sheets of one were taken in, and what they are called. A row of a workbook is
-- kept by sheet and row in one number: sheet * 1048576 + row.

create table receipt_sheet (
    farm_id bigint not null,
    receipt bigint not null,
    sheet int not null check (sheet between 0 and 999),
    name text not null check (name <> ''),
    primary key (farm_id, receipt, sheet),
    foreign key (farm_id, receipt) references receipt deferrable initially deferred
);

grant select, insert on receipt_sheet to weirbook_program;
grant select on receipt_sheet to weirbook_reader;
alter table receipt_sheet enable row level security;
create policy receipt_sheet_farm on receipt_sheet using (farm_id = any (farms_seen()));

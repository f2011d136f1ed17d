-- Notices that stand for many findings at once, and rounds of telling.

-- Findings that a notice's own finding is told together with.
create table notice_part (
    farm_id bigint not null,
    finding bigint not null,
    opening int not null check (opening > 0),
    part bigint not null,
    part_opening int not null check (part_opening > 0),
    primary key (farm_id, finding, opening, part, part_opening),
    foreign key (farm_id, finding) references finding,
    foreign key (farm_id, part) references finding,
    check (part <> finding)
);
grant select, insert on notice_part to weirbook_program;
grant select on notice_part to weirbook_reader;
alter table notice_part enable row level security;
create policy notice_part_farm on notice_part using (farm_id = any (farms_seen()));

-- Once everybody was told and nobody has seen it, those who want to be are told again.
alter table notice add column round int not null default 1 check (round > 0);

-- What judging any clause of a licence needs beyond the records of 0001.

-- Readings as first stored, only the farms of this transaction. For reading many: corrections are
-- few and are put on by the program, while joining them costs each reading more than its reading.
-- Ask for both time bounds: the table has a partition a month.
create view reading_stored with (security_barrier) as
select farm_id, series_id, at, until, portion, qualifier, reported, unit, flags, receipt, line, col
  from reading
 where farm_id = any ((select farms_seen())::bigint[]); -- read once, not once a row
grant select on reading_stored to weirbook_program, weirbook_reader;

-- Why what is stored is in doubt, found out after it came in: readings of a series in a span of
-- time, both ends in it, or those of a sample. It stays until it is lifted, by a row of its own.
create table doubt_mark (
    farm_id bigint not null references farm,
    mark int not null check (mark > 0),
    series_id bigint,
    from_at timestamptz,
    until_at timestamptz,
    sample text,
    kind text not null check (kind in ('sensor test', 'calibration', 'drift', 'custody',
        'holding time', 'temperature', 'preliminary', 'contradicted', 'no sample', 'other')),
    words text not null check (words <> ''),
    person item_key,
    source item_key,
    set_at timestamptz not null default now(),
    primary key (farm_id, mark),
    foreign key (farm_id, series_id) references series,
    foreign key (farm_id, sample) references sample,
    foreign key (farm_id, person) references person,
    foreign key (farm_id, source) references source,
    constraint doubt_mark_of check ((series_id is null) = (sample is not null)
        and (series_id is null) = (from_at is null) and (series_id is null) = (until_at is null)),
    constraint doubt_mark_span check (until_at >= from_at),
    constraint doubt_mark_by check (person is not null or source is not null)
);
create index doubt_mark_series on doubt_mark (farm_id, series_id, from_at);

create table doubt_lift (
    farm_id bigint not null,
    mark int not null,
    reason text not null check (reason <> ''),
    person item_key not null,
    lifted_at timestamptz not null default now(),
    primary key (farm_id, mark),
    foreign key (farm_id, mark) references doubt_mark,
    foreign key (farm_id, person) references person
);

do $$
declare
    t text;
begin
    foreach t in array array['doubt_mark', 'doubt_lift'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

-- Fertiliser, treatment, feed or medicine that was put in. A correction is a row of its own that
-- names the one it stands in place of; one that never happened is taken back.
create table addition (
    farm_id bigint not null references farm,
    number int not null check (number > 0),
    station item_key not null,
    kind text not null check (kind in ('fertiliser', 'treatment', 'feed', 'medicine')),
    product text not null check (product <> ''),
    amount numeric not null check (amount > 0),
    unit text not null,
    at timestamptz not null,
    until timestamptz not null,
    nitrogen_percent numeric check (nitrogen_percent between 0 and 100),
    phosphorus_percent numeric check (phosphorus_percent between 0 and 100),
    withhold_hours int check (withhold_hours >= 0),
    reason text,
    instead_of int,
    person item_key not null,
    said_at timestamptz not null,
    primary key (farm_id, number),
    unique (farm_id, instead_of),
    foreign key (farm_id, station) references station,
    foreign key (farm_id, instead_of) references addition,
    foreign key (farm_id, person) references person,
    constraint addition_span check (until >= at),
    constraint addition_later check (instead_of < number)
);
create index addition_at on addition (farm_id, at);

create table addition_taken_back (
    farm_id bigint not null,
    number int not null,
    reason text not null check (reason <> ''),
    person item_key not null,
    said_at timestamptz not null,
    primary key (farm_id, number),
    foreign key (farm_id, number) references addition,
    foreign key (farm_id, person) references person
);

do $$
declare
    t text;
begin
    foreach t in array array['addition', 'addition_taken_back'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

-- What tanks and pumps find.
alter table finding drop constraint finding_kind_check;
alter table finding add constraint finding_kind_check check (kind in ('limit', 'interval',
    'discharge', 'person', 'pump stop', 'salinity fall'));

-- The figures of a verdict that holds several: of weeks, running days, last samples, runs.
create table verdict_window (
    farm_id bigint not null,
    clause item_key not null,
    from_day date not null,
    to_day date not null,
    nth int not null check (nth > 0),
    first_day date not null,
    last_day date not null,
    first_at timestamptz not null,
    until_at timestamptz not null,
    standing text not null check (standing in ('within', 'outside', 'not assessable', 'nothing due')),
    side text check (side in ('above', 'below')),
    so_far boolean not null,
    samples int not null,
    beyond int not null,
    allowed int, -- null: the clause has no allowance
    too_few boolean not null, -- of the last samples that it should hold
    figure text,
    compared text,
    reason text,
    note text,
    primary key (farm_id, clause, from_day, to_day, nth),
    foreign key (farm_id, clause, from_day, to_day) references verdict on delete cascade,
    check ((standing = 'outside') = (side is not null)),
    check (first_day <= last_day)
);
create index verdict_window_day on verdict_window (farm_id, clause, last_day);
grant select, insert, update, delete on verdict_window to weirbook_program;
grant select on verdict_window to weirbook_reader;
alter table verdict_window enable row level security;
create policy verdict_window_farm on verdict_window using (farm_id = any (farms_seen()));

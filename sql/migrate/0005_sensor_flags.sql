-- What the sensor tests of the farm file say of stored readings: spans of readings that a test
-- flagged alike, cut at each UTC day. Worked out from readings and thresholds, and again whenever
-- one of them changes: 3 suspect, 4 fail. Of a gap the span is the time without a reading.
create table sensor_flag (
    farm_id bigint not null,
    series_id bigint not null,
    test text not null check (test in ('gap', 'gross range', 'climatology', 'spike',
        'rate of change', 'flat line')),
    from_at timestamptz not null,
    until_at timestamptz not null,
    flag smallint not null check (flag in (3, 4)),
    readings bigint not null check (readings > 0),
    value double precision not null, -- of the first, in the parameter's own unit
    continues boolean not null,      -- the span of the day before goes on
    words text not null check (words <> ''),
    primary key (farm_id, series_id, test, from_at),
    foreign key (farm_id, series_id) references series,
    check (until_at >= from_at)
);
create index sensor_flag_until on sensor_flag (farm_id, until_at);
grant select, insert, delete on sensor_flag to weirbook_program;
grant select on sensor_flag to weirbook_reader;
alter table sensor_flag enable row level security;
create policy sensor_flag_farm on sensor_flag using (farm_id = any (farms_seen()));

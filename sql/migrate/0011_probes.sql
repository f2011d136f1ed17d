-- What persons did and read at probes and field meters, what came of it, and what they answered.

-- One visit. A wrong one is withdrawn, never changed.
create table probe_visit (
    farm_id bigint not null references farm,
    visit int not null check (visit > 0),
    instrument item_key not null,
    at timestamptz not null,
    maintenance text,
    note text,
    person item_key not null,
    recorded_at timestamptz not null,
    primary key (farm_id, visit),
    foreign key (farm_id, person) references person
);
create index probe_visit_at on probe_visit (farm_id, instrument, at);

-- What was read of one parameter, in one unit, and what it came to by the farm's criteria of that
-- day. Errors are what has to be added to a reading at the visit.
create table probe_check (
    farm_id bigint not null,
    visit int not null,
    parameter item_key not null,
    unit text not null check (unit <> ''),
    before_cleaning numeric,
    after_cleaning numeric,
    meter text, -- the field meter beside it while it was cleaned
    meter_before numeric,
    meter_after numeric,
    fouling numeric,
    drift numeric,
    found text not null check (found in ('not checked', 'good', 'failed', 'beyond')),
    left_so text not null check (left_so in ('not checked', 'good', 'failed')),
    calibrated boolean not null,
    rating text check (rating in ('excellent', 'good', 'fair', 'poor')),
    criteria text not null check (criteria <> ''), -- in words, with the document they come from
    primary key (farm_id, visit, parameter),
    foreign key (farm_id, visit) references probe_visit,
    foreign key (farm_id, parameter) references parameter,
    check ((before_cleaning is null) = (after_cleaning is null)),
    check ((meter_before is null) = (meter_after is null)),
    check ((before_cleaning is null) = (fouling is null))
);

create table probe_standard (
    farm_id bigint not null,
    visit int not null,
    parameter item_key not null,
    nth int not null check (nth > 0),
    standard numeric not null,
    found numeric not null,
    after numeric,
    name text,
    meter text, -- a field meter whose reading was the standard
    lot text,
    expires date,
    temperature numeric, -- degC
    primary key (farm_id, visit, parameter, nth),
    foreign key (farm_id, visit, parameter) references probe_check
);

create table probe_withdrawn (
    farm_id bigint not null,
    visit int not null,
    reason text not null check (reason <> ''),
    person item_key not null,
    at timestamptz not null,
    primary key (farm_id, visit),
    foreign key (farm_id, visit) references probe_visit,
    foreign key (farm_id, person) references person
);

-- What a person says of the readings that a visit puts in doubt; the newest counts. Of `corrected`
-- the errors at until_at, grown in a straight line: fouling since cleaned_at, drift since after_at.
create table probe_answer (
    farm_id bigint not null,
    visit int not null,
    parameter item_key not null,
    nth int not null check (nth > 0),
    answer text not null check (answer in ('corrected', 'left out', 'stands', 'refused')),
    after_at timestamptz not null,
    cleaned_at timestamptz not null,
    until_at timestamptz not null,
    unit text not null,
    fouling numeric,
    drift numeric,
    reason text not null check (reason <> ''),
    person item_key not null,
    second_person item_key,
    at timestamptz not null,
    primary key (farm_id, visit, parameter, nth),
    foreign key (farm_id, visit, parameter) references probe_check,
    foreign key (farm_id, person) references person,
    foreign key (farm_id, second_person) references person,
    check (second_person is null or second_person <> person),
    check (until_at >= after_at)
);

do $$
declare
    t text;
begin
    foreach t in array array['probe_visit', 'probe_check', 'probe_standard', 'probe_withdrawn',
                             'probe_answer'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

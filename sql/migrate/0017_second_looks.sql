-- A second person who saw later what one person had done alone, and rules about words of a source
-- that were taken back.

-- A rule that was taken back may be made again, as the next of its word.
alter table source_rule add column nth int not null default 1 check (nth > 0);
alter table source_rule drop constraint source_rule_pkey;
alter table source_rule add primary key (farm_id, source, kind, word, nth);

create table source_rule_withdrawn (
    farm_id bigint not null,
    source item_key not null,
    kind text not null,
    word text not null,
    nth int not null,
    reason text not null check (reason <> ''),
    person item_key not null,
    withdrawn_at timestamptz not null default now(),
    primary key (farm_id, source, kind, word, nth),
    constraint source_rule_withdrawn_rule
        foreign key (farm_id, source, kind, word, nth) references source_rule,
    foreign key (farm_id, person) references person
);

create table source_rule_seen (
    farm_id bigint not null,
    source item_key not null,
    kind text not null,
    word text not null,
    nth int not null,
    person item_key not null,
    seen_at timestamptz not null default now(),
    primary key (farm_id, source, kind, word, nth),
    constraint source_rule_seen_rule
        foreign key (farm_id, source, kind, word, nth) references source_rule,
    foreign key (farm_id, person) references person
);

-- Of a row set aside that was answered.
create table set_aside_seen (
    farm_id bigint not null,
    receipt bigint not null,
    line int not null,
    col int not null,
    person item_key not null,
    seen_at timestamptz not null default now(),
    primary key (farm_id, receipt, line, col),
    foreign key (farm_id, receipt, line, col) references set_aside_answer,
    foreign key (farm_id, person) references person
);

-- Of a visit that was withdrawn: with the withdrawal or later.
create table probe_withdrawn_seen (
    farm_id bigint not null,
    visit int not null,
    person item_key not null,
    seen_at timestamptz not null default now(),
    primary key (farm_id, visit),
    foreign key (farm_id, visit) references probe_withdrawn,
    foreign key (farm_id, person) references person
);

do $$
declare
    t text;
begin
    foreach t in array array['source_rule_withdrawn', 'source_rule_seen', 'set_aside_seen',
                             'probe_withdrawn_seen'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

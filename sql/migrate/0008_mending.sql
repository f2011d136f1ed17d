-- Rows set aside that a rule or a person's own typing mends; documents and what they prove; results
-- that a person held against their certificate.

-- What a word of a source's files means, beside what the farm file says of that source.
create table source_rule (
    farm_id bigint not null,
    source item_key not null,
    kind text not null check (kind in ('unit', 'parameter', 'station', 'state', 'blank')),
    word text not null check (word <> ''),
    means text,
    reason text not null check (reason <> ''),
    person item_key not null,
    second_person item_key,
    made_at timestamptz not null default now(),
    primary key (farm_id, source, kind, word),
    foreign key (farm_id, source) references source,
    foreign key (farm_id, person) references person,
    foreign key (farm_id, second_person) references person,
    constraint source_rule_means check ((kind = 'blank') = (means is null)),
    check (second_person is null or second_person <> person)
);

-- What a person typed in place of what could not be read. Why, who and when stand in the answer;
-- what the row said first stays in set_aside.
create table set_aside_typed (
    farm_id bigint not null,
    receipt bigint not null,
    line int not null,
    col int not null,
    what text not null check (what in ('value', 'time', 'station', 'parameter', 'unit')),
    typed text not null check (typed <> ''),
    primary key (farm_id, receipt, line, col, what),
    foreign key (farm_id, receipt, line, col) references set_aside_answer
);

-- What a document proves or belongs to.
create table document_tie (
    farm_id bigint not null,
    document bigint not null,
    kind text not null check (kind in ('sample', 'file', 'licence', 'finding', 'instrument')),
    about text not null check (about <> ''),
    person item_key not null,
    tied_at timestamptz not null default now(),
    primary key (farm_id, document, kind, about),
    foreign key (farm_id, document) references document,
    foreign key (farm_id, person) references person
);
create index document_tie_about on document_tie (farm_id, kind, about);

-- A person held a sample's results against a document, as they stood: `results` in words.
create table result_check (
    farm_id bigint not null,
    sample text not null,
    document bigint not null,
    nth int not null check (nth > 0),
    results text not null check (results <> ''),
    person item_key not null,
    checked_at timestamptz not null default now(),
    primary key (farm_id, sample, document, nth),
    foreign key (farm_id, sample) references sample,
    foreign key (farm_id, document) references document,
    foreign key (farm_id, person) references person
);

do $$
declare
    t text;
begin
    foreach t in array array['source_rule', 'set_aside_typed', 'document_tie', 'result_check'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

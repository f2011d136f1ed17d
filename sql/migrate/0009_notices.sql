-- Who is told of a finding, and what became of it.

-- One a finding's opening and person to be told, written with the finding. Who comes next has his
-- row from the beginning; it waits until nobody has seen it after the minutes of the one before.
create table notice (
    farm_id bigint not null references farm,
    notice int not null check (notice > 0),
    finding bigint not null,
    opening int not null check (opening > 0), -- a finding may be opened again
    nth int not null check (nth > 0),
    person item_key not null,
    told_by text not null check (told_by in ('mail', 'webhook')),
    address text not null check (address <> ''),
    next_after_s int not null check (next_after_s >= 0),
    subject text not null check (subject <> ''),
    words text not null check (words <> ''),
    queued_at timestamptz not null,
    primary key (farm_id, notice),
    unique (farm_id, finding, opening, nth),
    foreign key (farm_id, finding) references finding,
    foreign key (farm_id, person) references person
);

-- What became of it, step by step. `refused`: not tried again.
create table notice_step (
    farm_id bigint not null,
    notice int not null,
    nth int not null check (nth > 0),
    step text not null check (step in ('sent', 'failed', 'refused', 'seen')),
    reply text, -- of the server, where one was asked
    next_try_at timestamptz, -- of `failed`
    person item_key, -- of `seen`
    at timestamptz not null,
    primary key (farm_id, notice, nth),
    foreign key (farm_id, notice) references notice,
    foreign key (farm_id, person) references person,
    check ((step = 'seen') = (person is not null)),
    check ((step = 'failed') = (next_try_at is not null))
);

-- What is still to be sent. due_at null: waits for the one before. leased_until: somebody is at it;
-- past that moment he is taken for dead.
create table notice_turn (
    farm_id bigint not null,
    notice int not null,
    due_at timestamptz,
    leased_until timestamptz,
    tries int not null default 0 check (tries >= 0),
    primary key (farm_id, notice),
    foreign key (farm_id, notice) references notice
);
create index notice_turn_due on notice_turn (farm_id, due_at);

do $$
declare
    t text;
begin
    foreach t in array array['notice', 'notice_step', 'notice_turn'] loop
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;
grant update, delete on notice_turn to weirbook_program;

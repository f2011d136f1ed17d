-- When the standing process, or its command, last looked at what time alone brings.

create table time_look (
    farm_id bigint not null references farm,
    looked_at timestamptz not null,
    judged_at timestamptz, -- the running month, for what was due
    primary key (farm_id)
);

-- A watched folder: since when it is watched, and when a file last came there.
create table folder_look (
    farm_id bigint not null references farm,
    folder text not null,
    since timestamptz not null,
    came_at timestamptz,
    primary key (farm_id, folder)
);

do $$
declare
    t text;
begin
    foreach t in array array['time_look', 'folder_look'] loop
        execute format('grant select, insert, update on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

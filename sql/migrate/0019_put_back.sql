-- Rows set aside that were left out wait again where a person says so, and may be answered again.

alter table set_aside_answer add column nth int not null default 1 check (nth > 0);
alter table set_aside_typed add column nth int not null default 1;
alter table set_aside_seen add column nth int not null default 1;

alter table set_aside_answer drop constraint set_aside_answer_pkey cascade;
alter table set_aside_answer add primary key (farm_id, receipt, line, col, nth);
alter table set_aside_typed add constraint set_aside_typed_answer
    foreign key (farm_id, receipt, line, col, nth) references set_aside_answer;
alter table set_aside_seen drop constraint set_aside_seen_pkey;
alter table set_aside_seen add primary key (farm_id, receipt, line, col, nth);
alter table set_aside_seen add constraint set_aside_seen_answer
    foreign key (farm_id, receipt, line, col, nth) references set_aside_answer;

-- That answer no longer stands.
create table set_aside_put_back (
    farm_id bigint not null,
    receipt bigint not null,
    line int not null,
    col int not null,
    nth int not null,
    reason text not null check (reason <> ''),
    person item_key not null,
    put_back_at timestamptz not null default now(),
    primary key (farm_id, receipt, line, col, nth),
    constraint set_aside_put_back_answer
        foreign key (farm_id, receipt, line, col, nth) references set_aside_answer,
    foreign key (farm_id, person) references person
);

grant select, insert on set_aside_put_back to weirbook_program;
grant select on set_aside_put_back to weirbook_reader;
alter table set_aside_put_back enable row level security;
create policy set_aside_put_back_farm on set_aside_put_back
    using (farm_id = any (weirbook.farms_seen()));

-- Answers that stand, at most one a row.
create view set_aside_answer_now with (security_barrier, security_invoker) as
select n.farm_id, n.receipt, n.line, n.col, n.nth, n.answer, n.reason, n.person, n.answered_at,
       n.second_person
  from set_aside_answer n
 where not exists (select 1
                     from set_aside_put_back b
                    where b.farm_id = n.farm_id and b.receipt = n.receipt and b.line = n.line
                      and b.col = n.col and b.nth = n.nth);

grant select on set_aside_answer_now to weirbook_program, weirbook_reader;

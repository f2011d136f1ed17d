-- Which months were judged in full, so that the passing of time finds those that were not: a month
-- in which nothing was recorded has no reading that would make it be judged.
create table month_judged (
    farm_id bigint not null references farm,
    month date not null check (extract(day from month) = 1),
    judged_at timestamptz not null,
    farm_file int not null check (farm_file > 0), -- the version that it was judged by
    primary key (farm_id, month)
);
grant select, insert, update on month_judged to weirbook_program;
grant select on month_judged to weirbook_reader;
alter table month_judged enable row level security;
create policy month_judged_farm on month_judged using (farm_id = any (farms_seen()));

-- It said when the running month was last judged; the table above says it of every month.
alter table time_look drop column judged_at;

-- Make the list of migrations where it is missing; everyone may read it.
-- returns nothing
do $$
begin
    if to_regclass('weirbook.migration') is null then
        create table weirbook.migration (
            number integer not null check (number > 0),
            name text not null,
            sha256 bytea not null check (octet_length(sha256) = 32),
            applied_at timestamptz not null default now(),
            primary key (number)
        );
        grant select on weirbook.migration to weirbook_program, weirbook_reader;
    end if;
end
$$;

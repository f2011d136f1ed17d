-- Make the roles that Weirbook works as, and the schema weirbook, where they are missing.
-- Run it as somebody who may create roles, in the database meant for Weirbook. Then let the
-- account that Weirbook connects with act as them:
--     grant weirbook_owner, weirbook_program, weirbook_reader to THE_ACCOUNT;
-- returns nothing
do $$
declare
    wanted text;
    mine oid := (select oid from pg_roles where rolname = current_user);
    almighty boolean := (select rolsuper from pg_roles where rolname = current_user);
begin
    -- One program at a time; what is there then is asked of the tables, which don't remember.
    perform pg_advisory_xact_lock(hashtextextended('weirbook.roles', 0));
    foreach wanted in array array['weirbook_owner', 'weirbook_program', 'weirbook_reader'] loop
        if not exists (select from pg_roles where rolname = wanted) then
            execute format('create role %I nologin nosuperuser nocreatedb nocreaterole', wanted);
        end if;
        -- From PostgreSQL 16 on a membership may lack the right to act as the role.
        if not almighty
           and not exists (select 1
                             from pg_auth_members m
                            where m.member = mine and m.roleid = to_regrole(wanted)
                              and coalesce((to_jsonb(m) ->> 'set_option')::boolean, true)) then
            execute format('grant %I to current_user', wanted);
        end if;
    end loop;
    if not exists (select from pg_namespace where nspname = 'weirbook') then
        execute 'create schema weirbook authorization weirbook_owner';
        execute 'grant usage on schema weirbook to weirbook_program, weirbook_reader';
    end if;
    if not has_database_privilege('weirbook_program', current_database(), 'TEMP') then
        execute format('grant temporary on database %I to weirbook_program', current_database());
    end if;
end
$$;

-- Let the roles connect by themselves, without a password: on the private cluster only, where
-- the socket lets in nobody but its own account.
-- returns nothing
do $$
declare
    role text;
begin
    for role in select rolname from pg_roles
                 where rolname in ('weirbook_owner', 'weirbook_program', 'weirbook_reader')
                   and not rolcanlogin
    loop
        execute format('alter role %I login', role);
    end loop;
end
$$;

-- Make a new session ours: the role it acts as ('none' for the one that connected) and the
-- settings that statements and copies rely on.
-- $1 role text
-- returns rows: role text, timezone text, datestyle text, floats text, bytes text, path text
select set_config('role', $1::text, false),
       set_config('timezone', 'UTC', false),
       set_config('datestyle', 'ISO, YMD', false),
       set_config('extra_float_digits', '1', false),
       set_config('bytea_output', 'hex', false),
       set_config('search_path', 'weirbook, pg_temp', false);

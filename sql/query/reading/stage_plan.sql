-- How the staged rows are to be joined, for the rest of the transaction: by hashing. The server
-- has never counted them, and would look through all of them for each stored reading, or sort both.
-- returns rows: nested text, merged text, memory text
select set_config('enable_nestloop', 'off', true), set_config('enable_mergejoin', 'off', true),
       set_config('work_mem', '64MB', true);

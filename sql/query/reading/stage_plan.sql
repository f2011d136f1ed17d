-- How the staged rows are to be joined, for the rest of the transaction: the server has never
-- counted them, and would look through all of them for each stored reading.
-- returns rows: nested text, memory text
select set_config('enable_nestloop', 'off', true), set_config('work_mem', '64MB', true);

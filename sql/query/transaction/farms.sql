-- Say which farms this transaction may see; row security goes by it.
-- $1 farms text
-- returns rows: farms text
select set_config('weirbook.farms', $1::text, true);

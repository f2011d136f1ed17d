-- A sample's replicate or unit, when it is not on record yet.
-- $1 farm bigint, $2 portion bigint, $3 sample text, $4 replicate text
-- returns nothing
insert into sample_portion (farm_id, portion, sample, replicate)
values ($1::bigint, $2::bigint, $3::text, $4::text)
on conflict (farm_id, portion) do nothing;

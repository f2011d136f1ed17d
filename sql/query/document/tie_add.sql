-- What a document proves, where that is not on record.
-- $1 farm bigint, $2 document bigint, $3 kind text, $4 about text, $5 person text, $6 tied_at timestamptz
-- returns nothing
insert into document_tie (farm_id, document, kind, about, person, tied_at)
values ($1::bigint, $2::bigint, $3::text, $4::text, $5::text, $6::timestamptz)
on conflict do nothing;

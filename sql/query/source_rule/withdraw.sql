-- A rule about a source's word is taken back.
-- $1 farm bigint, $2 source text, $3 kind text, $4 word text, $5 nth integer, $6 reason text, $7 person text, $8 withdrawn_at timestamptz
-- returns nothing
insert into source_rule_withdrawn (farm_id, source, kind, word, nth, reason, person, withdrawn_at)
values ($1::bigint, $2::text, $3::text, $4::text, $5::int, $6::text, $7::text, $8::timestamptz);

-- A second person saw a rule about a source's word.
-- $1 farm bigint, $2 source text, $3 kind text, $4 word text, $5 nth integer, $6 person text, $7 seen_at timestamptz
-- returns nothing
insert into source_rule_seen (farm_id, source, kind, word, nth, person, seen_at)
values ($1::bigint, $2::text, $3::text, $4::text, $5::int, $6::text, $7::timestamptz);

-- What a word of a source's files means: the next rule about that word, after those taken back.
-- $1 farm bigint, $2 source text, $3 kind text, $4 word text, $5 means text, $6 reason text, $7 person text, $8 second_person text, $9 made_at timestamptz
-- returns nothing
insert into source_rule (farm_id, source, kind, word, nth, means, reason, person, second_person,
                         made_at)
select $1::bigint, $2::text, $3::text, $4::text,
       1 + coalesce((select max(nth)
                       from source_rule
                      where farm_id = $1::bigint and source = $2::text and kind = $3::text
                        and word = $4::text), 0),
       $5::text, $6::text, $7::text, $8::text, $9::timestamptz;

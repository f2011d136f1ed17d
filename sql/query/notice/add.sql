-- One person's notice of a finding.
-- $1 farm bigint, $2 notice integer, $3 finding bigint, $4 opening integer, $5 nth integer, $6 person text, $7 told_by text, $8 address text, $9 next_after_s integer, $10 subject text, $11 words text, $12 queued_at timestamptz, $13 round integer
-- returns nothing
insert into notice (farm_id, notice, finding, opening, nth, person, told_by, address, next_after_s,
                    subject, words, queued_at, round)
values ($1::bigint, $2::integer, $3::bigint, $4::integer, $5::integer, $6::text, $7::text, $8::text,
        $9::integer, $10::text, $11::text, $12::timestamptz, $13::integer);

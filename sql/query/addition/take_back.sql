-- Something that was written down as put in and never was.
-- $1 farm bigint, $2 number integer, $3 reason text, $4 person text, $5 said_at timestamptz
-- returns nothing
insert into addition_taken_back (farm_id, number, reason, person, said_at)
values ($1::bigint, $2::int, $3::text, $4::text, $5::timestamptz);

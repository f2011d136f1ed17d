-- A finding that is told with another one's notices.
-- $1 farm bigint, $2 finding bigint, $3 opening integer, $4 part bigint, $5 part_opening integer
-- returns nothing
insert into notice_part (farm_id, finding, opening, part, part_opening)
values ($1::bigint, $2::bigint, $3::integer, $4::bigint, $5::integer);

-- What became of a notice.
-- $1 farm bigint, $2 notice integer, $3 step text, $4 reply text, $5 next_try_at timestamptz, $6 person text, $7 at timestamptz
-- returns nothing
insert into notice_step (farm_id, notice, nth, step, reply, next_try_at, person, at)
select $1::bigint, $2::integer, coalesce(max(nth), 0) + 1, $3::text, $4::text, $5::timestamptz,
       $6::text, $7::timestamptz
  from notice_step
 where farm_id = $1::bigint
   and notice = $2::integer;

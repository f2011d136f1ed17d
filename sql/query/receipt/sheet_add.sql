-- A sheet of a workbook that was taken in.
-- $1 farm bigint, $2 receipt bigint, $3 sheet integer, $4 name text
-- returns nothing
insert into receipt_sheet (farm_id, receipt, sheet, name)
values ($1::bigint, $2::bigint, $3::int, $4::text);

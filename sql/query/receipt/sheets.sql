-- The sheets of every workbook that was taken in, those of one receipt together.
-- $1 farm bigint
-- returns rows: receipt bigint, sheet integer, name text
select receipt, sheet, name
  from receipt_sheet
 where farm_id = $1::bigint
 order by receipt, sheet;

-- A place for rows set aside: COPY refuses tables with policies. Gone with the transaction.
-- returns nothing
create temporary table if not exists staged_aside (
    farm_id bigint, receipt bigint, line int, col int, reason text, words text, todo text,
    row_text text, station text, parameter text, at timestamptz, qualifier "char",
    reported numeric, unit text, sample text, from_probe boolean
) on commit delete rows;

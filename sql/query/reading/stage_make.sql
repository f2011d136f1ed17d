-- A place for a receipt's rows until each has its answer; gone with the transaction.
-- returns nothing
create temporary table if not exists staged (
    farm_id bigint, series_id bigint, at timestamptz, until timestamptz, portion bigint,
    value double precision, receipt bigint, line int, col int, flags smallint,
    qualifier "char", reported numeric, unit text,
    detection numeric, quantitation numeric, doubt text, taken_by text, answer "char", said text
) on commit delete rows;

-- A place for detection limits and doubts: COPY refuses tables with policies. Gone with the
-- transaction.
-- returns nothing
create temporary table if not exists staged_note (
    farm_id bigint, series_id bigint, at timestamptz, until timestamptz, portion bigint,
    detection numeric, quantitation numeric, doubt text, taken_by text
) on commit delete rows;

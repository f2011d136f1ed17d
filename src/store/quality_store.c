#include "store/quality_store.h"

#include "db/sql_catalog.h"

/* A number that may not be there. */
static struct decimal decimal_of(const struct db_rows *rows, size_t row, int column)
{
    struct decimal value = {0};

    if (!db_rows_null(rows, row, column) && !decimal_parse(db_rows_text(rows, row, column), &value))
        value = (struct decimal){0};

    return value;
}

static struct quality_result_row result_of(const struct db_rows *rows, size_t row,
                                           struct arena *mem)
{
    enum {
        SERIES,
        STATION,
        POSITION,
        PARAMETER,
        MADE_BY,
        AT,
        UNTIL,
        QUALIFIER,
        REPORTED,
        UNIT,
        RECEIPT,
        SAMPLE,
        REPLICATE,
        PURPOSE,
        DETECTION,
        QUANTITATION
    };

    return (struct quality_result_row){.series_id = db_rows_int(rows, row, SERIES),
                                       .station = db_rows_dup(rows, row, STATION, mem),
                                       .position = db_rows_dup(rows, row, POSITION, mem),
                                       .parameter = db_rows_dup(rows, row, PARAMETER, mem),
                                       .made_by = db_rows_dup(rows, row, MADE_BY, mem),
                                       .at = db_rows_instant(rows, row, AT),
                                       .until = db_rows_instant(rows, row, UNTIL),
                                       .qualifier = db_rows_text(rows, row, QUALIFIER)[0],
                                       .reported = decimal_of(rows, row, REPORTED),
                                       .unit = db_rows_dup(rows, row, UNIT, mem),
                                       .receipt = db_rows_int(rows, row, RECEIPT),
                                       .sample = db_rows_dup(rows, row, SAMPLE, mem),
                                       .replicate = db_rows_dup(rows, row, REPLICATE, mem),
                                       .purpose = db_rows_dup(rows, row, PURPOSE, mem),
                                       .detection = decimal_of(rows, row, DETECTION),
                                       .quantitation = decimal_of(rows, row, QUANTITATION)};
}

bool quality_store_results(struct db_tx *tx, struct arena *mem, instant first, instant until,
                           const char *parameters, struct quality_result_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_quality_results,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until),
                          db_text(parameters)),
                &rows, err))
        return false;

    struct quality_result_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct quality_result_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = result_of(&rows, i, mem);
    *out = list;

    return true;
}

bool quality_store_limits(struct db_tx *tx, struct arena *mem, struct quality_limit_rows *out,
                          struct err *err)
{
    enum {
        SERIES,
        STATION,
        POSITION,
        PARAMETER,
        METHOD,
        MADE_BY,
        TOLD_AT,
        DETECTION,
        QUANTITATION,
        AT,
        QUALIFIER,
        REPORTED,
        UNIT
    };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_quality_limits, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct quality_limit_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct quality_limit_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct quality_limit_row){.series_id = db_rows_int(&rows, i, SERIES),
                                       .station = db_rows_dup(&rows, i, STATION, mem),
                                       .position = db_rows_dup(&rows, i, POSITION, mem),
                                       .parameter = db_rows_dup(&rows, i, PARAMETER, mem),
                                       .method = db_rows_dup(&rows, i, METHOD, mem),
                                       .made_by = db_rows_dup(&rows, i, MADE_BY, mem),
                                       .told_at = db_rows_instant(&rows, i, TOLD_AT),
                                       .detection = decimal_of(&rows, i, DETECTION),
                                       .quantitation = decimal_of(&rows, i, QUANTITATION),
                                       .latest_at = db_rows_instant(&rows, i, AT),
                                       .latest_qualifier = db_rows_text(&rows, i, QUALIFIER)[0],
                                       .latest_reported = decimal_of(&rows, i, REPORTED),
                                       .latest_unit = db_rows_dup(&rows, i, UNIT, mem)};
    *out = list;

    return true;
}

#include "store/series_store.h"

#include "base/crypto.h"
#include "db/sql_catalog.h"

int64_t series_id_of(const struct draft_series *series)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    /* The unit separator can't stand in any of them. */
    return text_id(arena_printf(mem, "%s\x1f%s\x1f%s\x1f%s\x1f%s\x1f%s\x1f%s", series->station,
                                series->position, series->parameter, series->matrix, series->method,
                                series->made_by, series->kind));
}

bool series_store_list(struct db_tx *tx, struct arena *mem, struct series_rows *out,
                       struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_series_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct series_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct series_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct series_row){.series_id = db_rows_int(&rows, i, 0),
                                            .station = db_rows_dup(&rows, i, 1, mem),
                                            .position = db_rows_dup(&rows, i, 2, mem),
                                            .parameter = db_rows_dup(&rows, i, 3, mem),
                                            .matrix = db_rows_dup(&rows, i, 4, mem),
                                            .method = db_rows_dup(&rows, i, 5, mem),
                                            .made_by = db_rows_dup(&rows, i, 6, mem),
                                            .kind = db_rows_dup(&rows, i, 7, mem)};
    *out = list;

    return true;
}

bool series_store_add(struct db_tx *tx, const struct draft_series *series, struct err *err)
{
    return db_do(
        tx, &sql_series_add,
        DB_PARAMS(db_int(tx->farm_id), db_int(series_id_of(series)), db_text(series->station),
                  db_text(series->position), db_text(series->parameter), db_text(series->matrix),
                  db_text(series->method), db_text(series->made_by), db_text(series->kind)),
        err);
}

bool series_store_latest_put(struct db_tx *tx, const struct latest_row *latest, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char qualifier[2] = {latest->qualifier, '\0'};
    bool has_number = latest->qualifier != 'n';

    return db_do(tx, &sql_series_latest_put,
                 DB_PARAMS(db_int(tx->farm_id), db_int(latest->series_id), db_instant(latest->at),
                           db_text(qualifier),
                           db_text(has_number ? decimal_text(mem, latest->reported) : NULL),
                           db_text(latest->unit)),
                 err);
}

bool series_store_latest_follow(struct db_tx *tx, const struct latest_row *latest, int64_t portion,
                                struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char qualifier[2] = {latest->qualifier, '\0'};
    bool has_number = latest->qualifier != 'n';

    return db_do(tx, &sql_series_latest_follow,
                 DB_PARAMS(db_int(tx->farm_id), db_int(latest->series_id), db_instant(latest->at),
                           db_int(portion), db_text(qualifier),
                           db_text(has_number ? decimal_text(mem, latest->reported) : NULL),
                           db_text(latest->unit)),
                 err);
}

bool series_store_latest_list(struct db_tx *tx, struct arena *mem, struct latest_views *out,
                              struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_series_latest_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct latest_views list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct latest_view, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct latest_view){.station = db_rows_dup(&rows, i, 0, mem),
                                 .position = db_rows_dup(&rows, i, 1, mem),
                                 .parameter = db_rows_dup(&rows, i, 2, mem),
                                 .made_by = db_rows_dup(&rows, i, 3, mem),
                                 .kind = db_rows_dup(&rows, i, 4, mem),
                                 .at = db_rows_instant(&rows, i, 5),
                                 .qualifier = db_rows_text(&rows, i, 6)[0],
                                 .reported = arena_strdup(mem, db_rows_text(&rows, i, 7)),
                                 .unit = db_rows_dup(&rows, i, 8, mem)};
    *out = list;

    return true;
}

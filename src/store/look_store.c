#include "store/look_store.h"

#include "db/sql_catalog.h"

bool look_store_time_put(struct db_tx *tx, const struct time_look *look, struct err *err)
{
    return db_do(
        tx, &sql_time_look_put,
        DB_PARAMS(db_int(tx->farm_id), db_instant(look->looked_at), db_instant(look->judged_at)),
        err);
}

/* Two instants of the one row that a statement returns, or none. */
static bool two_instants(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                         instant *first, instant *second, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, sql, params, &rows, err))
        return false;

    bool any = db_rows_count(&rows) > 0;

    *first = any ? db_rows_instant(&rows, 0, 0) : INSTANT_NONE;
    *second = any ? db_rows_instant(&rows, 0, 1) : INSTANT_NONE;

    return true;
}

bool look_store_time(struct db_tx *tx, struct time_look *out, struct err *err)
{
    return two_instants(tx, &sql_time_look_get, DB_PARAMS(db_int(tx->farm_id)), &out->looked_at,
                        &out->judged_at, err);
}

bool look_store_folder_put(struct db_tx *tx, const char *folder, const struct folder_look *look,
                           struct err *err)
{
    return db_do(tx, &sql_folder_look_put,
                 DB_PARAMS(db_int(tx->farm_id), db_text(folder), db_instant(look->since),
                           db_instant(look->came_at)),
                 err);
}

bool look_store_folder(struct db_tx *tx, const char *folder, struct folder_look *out,
                       struct err *err)
{
    return two_instants(tx, &sql_folder_look_get, DB_PARAMS(db_int(tx->farm_id), db_text(folder)),
                        &out->since, &out->came_at, err);
}

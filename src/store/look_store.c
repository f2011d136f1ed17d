#include "store/look_store.h"

#include "db/sql_catalog.h"

bool look_store_time_put(struct db_tx *tx, const struct time_look *look, struct err *err)
{
    return db_do(tx, &sql_time_look_put,
                 DB_PARAMS(db_int(tx->farm_id), db_instant(look->looked_at)), err);
}

bool look_store_time(struct db_tx *tx, struct time_look *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_time_look_get, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    out->looked_at = db_rows_count(&rows) > 0 ? db_rows_instant(&rows, 0, 0) : INSTANT_NONE;

    return true;
}

bool look_store_month_put(struct db_tx *tx, const struct month_look *look, struct err *err)
{
    return db_do(tx, &sql_month_judged_put,
                 DB_PARAMS(db_int(tx->farm_id), db_day(look->month), db_instant(look->judged_at),
                           db_int(look->farm_file)),
                 err);
}

bool look_store_months(struct db_tx *tx, struct arena *mem, struct month_looks *out,
                       struct err *err)
{
    enum { COL_MONTH, COL_JUDGED_AT, COL_FARM_FILE };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct month_looks list = {0};

    if (!db_run(tx, &sql_month_judged_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    list.count = db_rows_count(&rows);
    list.items = ARENA_ARRAY(mem, struct month_look, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct month_look){
            .month = db_rows_day(&rows, i, COL_MONTH),
            .judged_at = db_rows_instant(&rows, i, COL_JUDGED_AT),
            .farm_file = (int)db_rows_int(&rows, i, COL_FARM_FILE),
        };
    *out = list;

    return true;
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
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_folder_look_get, DB_PARAMS(db_int(tx->farm_id), db_text(folder)), &rows,
                err))
        return false;

    bool any = db_rows_count(&rows) > 0;

    out->since = any ? db_rows_instant(&rows, 0, 0) : INSTANT_NONE;
    out->came_at = any ? db_rows_instant(&rows, 0, 1) : INSTANT_NONE;

    return true;
}

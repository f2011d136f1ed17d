#include "store/doubt_store.h"

#include "base/str.h"
#include "db/sql_catalog.h"

const char *const doubt_kinds[] = {"sensor test",  "calibration", "drift",       "custody",
                                   "holding time", "temperature", "preliminary", "contradicted",
                                   "no sample",    "other",       NULL};

bool doubt_store_add(struct db_tx *tx, const struct doubt_row *row, int *mark, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_doubt_add,
                DB_PARAMS(db_int(tx->farm_id), row->series_id ? db_int(row->series_id) : db_null(),
                          db_instant(row->from), db_instant(row->until), db_text(row->sample),
                          db_text(row->kind), db_text(row->words), db_text(row->person),
                          db_text(row->source), db_instant(row->set_at)),
                &rows, err))
        return false;
    *mark = (int)db_rows_int(&rows, 0, 0);

    return true;
}

bool doubt_store_lift(struct db_tx *tx, int mark, const char *reason, const char *person,
                      instant at, struct err *err)
{
    return db_do(tx, &sql_doubt_lift,
                 DB_PARAMS(db_int(tx->farm_id), db_int(mark), db_text(reason), db_text(person),
                           db_instant(at)),
                 err);
}

bool doubt_store_meeting(struct db_tx *tx, struct arena *mem, instant first, instant until,
                         struct doubt_marks *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_doubt_meeting,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct doubt_marks list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct doubt_mark, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct doubt_mark){.series_id = db_rows_int(&rows, i, 0),
                                            .sample = db_rows_dup(&rows, i, 1, mem),
                                            .from = db_rows_instant(&rows, i, 2),
                                            .until = db_rows_instant(&rows, i, 3),
                                            .kind = db_rows_dup(&rows, i, 4, mem),
                                            .words = db_rows_dup(&rows, i, 5, mem)};
    *out = list;

    return true;
}

static struct doubt_view view_of(const struct db_rows *rows, size_t row, struct arena *mem)
{
    return (struct doubt_view){
        .mark = (int)db_rows_int(rows, row, 0),
        .series_id = db_rows_int(rows, row, 1),
        .station = db_rows_dup(rows, row, 2, mem),
        .parameter = db_rows_dup(rows, row, 3, mem),
        .made_by = str_empty(db_rows_text(rows, row, 4)) ? NULL : db_rows_dup(rows, row, 4, mem),
        .sample = db_rows_dup(rows, row, 5, mem),
        .from = db_rows_instant(rows, row, 6),
        .until = db_rows_instant(rows, row, 7),
        .kind = db_rows_dup(rows, row, 8, mem),
        .words = db_rows_dup(rows, row, 9, mem),
        .by = db_rows_dup(rows, row, 10, mem),
        .set_at = db_rows_instant(rows, row, 11),
        .lifted_because = db_rows_dup(rows, row, 12, mem),
        .lifted_by = db_rows_dup(rows, row, 13, mem),
        .lifted_at = db_rows_instant(rows, row, 14),
        .position = db_rows_dup(rows, row, 15, mem)};
}

bool doubt_store_list(struct db_tx *tx, struct arena *mem, struct doubt_views *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_doubt_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct doubt_views list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct doubt_view, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = view_of(&rows, i, mem);
    *out = list;

    return true;
}

bool doubt_store_sample(struct db_tx *tx, const char *sample, instant *from, instant *until,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_doubt_sample, DB_PARAMS(db_int(tx->farm_id), db_text(sample)), &rows, err))
        return false;
    if (db_rows_count(&rows) == 0) {
        err_set(err, ERR_NOT_FOUND, "no sample '%s' is on record", sample);
        return err_hint(err, "Write its number as the laboratory's file has it.");
    }
    *from = db_rows_instant(&rows, 0, 0);
    *until = db_rows_instant(&rows, 0, 1);

    return true;
}

#include "store/correction_store.h"

#include "base/str.h"
#include "db/sql_catalog.h"

bool correction_store_add(struct db_tx *tx, const struct correction_row *correction,
                          struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char qualifier[2] = {correction->qualifier, '\0'};
    bool has_value = str_equal(correction->kind, "value");
    bool has_number = has_value && correction->qualifier != 'n';

    return db_do(tx, &sql_correction_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(correction->series_id),
                           db_instant(correction->at), db_instant(correction->until),
                           db_int(correction->portion), db_text(correction->kind),
                           db_text(has_value ? qualifier : NULL),
                           db_text(has_number ? decimal_text(mem, correction->reported) : NULL),
                           db_text(has_value ? correction->unit : NULL),
                           has_number ? db_double(correction->value) : db_null(),
                           db_text(correction->reason), db_text(correction->person),
                           db_text(correction->second_person), db_instant(correction->made_at),
                           correction->receipt ? db_int(correction->receipt) : db_null(),
                           correction->receipt ? db_int(correction->line) : db_null()),
                 err);
}

/* "<0.05 mg/L" from the three columns at `column`. */
static char *value_words(const struct db_rows *rows, size_t row, int column, struct arena *mem)
{
    const char *qualifier = db_rows_text(rows, row, column);

    if (*qualifier == 'n')
        return arena_strdup(mem, "not detected");

    return arena_printf(mem, "%s%s %s", *qualifier == '=' ? "" : qualifier,
                        db_rows_text(rows, row, column + 1), db_rows_text(rows, row, column + 2));
}

bool correction_store_between(struct db_tx *tx, struct arena *mem, instant first, instant until,
                              struct correction_views *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_correction_between,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct correction_views list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct correction_view, list.count);
    for (size_t i = 0; i < list.count; i++) {
        char *kind = db_rows_dup(&rows, i, 7, mem);
        bool has_value = str_equal(kind, "value");
        char qualifier = has_value ? *db_rows_text(&rows, i, 8) : '=';
        struct decimal reported = {0};

        if (has_value && qualifier != 'n' && !decimal_parse(db_rows_text(&rows, i, 9), &reported))
            return err_set(err, ERR_BUG, "a correction without a number");

        list.items[i] = (struct correction_view){
            .series_id = db_rows_int(&rows, i, 0),
            .station = db_rows_dup(&rows, i, 1, mem),
            .parameter = db_rows_dup(&rows, i, 2, mem),
            .at = db_rows_instant(&rows, i, 3),
            .until = db_rows_instant(&rows, i, 4),
            .portion = db_rows_int(&rows, i, 5),
            .kind = kind,
            .qualifier = qualifier,
            .reported = reported,
            .unit = has_value ? db_rows_dup(&rows, i, 10, mem) : NULL,
            .first_value = value_words(&rows, i, 15, mem),
            .new_value = str_equal(kind, "value") ? value_words(&rows, i, 8, mem) : kind,
            .reason = db_rows_dup(&rows, i, 11, mem),
            .person = db_rows_dup(&rows, i, 12, mem),
            .second_person = db_rows_dup(&rows, i, 13, mem),
            .made_at = db_rows_instant(&rows, i, 14)};
    }
    *out = list;

    return true;
}

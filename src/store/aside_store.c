#include "store/aside_store.h"

#include "db/sql_catalog.h"
#include "store/columns.h"

enum { ASIDE_FIELDS = 16 };

bool aside_store_copy(struct db_tx *tx, struct db_copy *copy, struct err *err)
{
    return db_do(tx, &sql_set_aside_stage_make, DB_NO_PARAMS, err) &&
           db_copy_begin(tx, &sql_set_aside_stage_copy_in, copy, err);
}

bool aside_store_settle(struct db_tx *tx, struct err *err)
{
    return db_do(tx, &sql_set_aside_stage_make, DB_NO_PARAMS, err) &&
           db_do(tx, &sql_set_aside_stage_store, DB_PARAMS(db_int(tx->farm_id)), err);
}

void aside_store_put(struct db_copy *copy, int64_t farm_id, int64_t receipt,
                     const struct problem *problem)
{
    char qualifier[2] = {problem->qualifier, '\0'};

    db_copy_row(copy, ASIDE_FIELDS);
    db_copy_int8(copy, farm_id);
    db_copy_int8(copy, receipt);
    db_copy_int4(copy, problem->line);
    db_copy_int4(copy, problem->column);
    db_copy_text(copy, problem_reason_name(problem->reason));
    db_copy_text(copy, problem->words);
    db_copy_text(copy, problem->todo ? problem->todo : "");
    db_copy_text(copy, problem->text ? problem->text : "");
    db_copy_text(copy, problem->station);
    db_copy_text(copy, problem->parameter);
    db_copy_instant(copy, problem->at);
    db_copy_text(copy, problem->has_value ? qualifier : NULL);
    if (problem->has_value && problem->qualifier != 'n')
        db_copy_numeric(copy, problem->value.coefficient, problem->value.scale);
    else
        db_copy_null(copy);
    db_copy_text(copy, problem->unit);
    db_copy_null(copy);
    db_copy_bool(copy, problem->from_probe);
}

/* What list.sql and left_out.sql return. */
static bool rows_list(struct db_tx *tx, struct arena *mem, const struct sql_text *sql, size_t most,
                      struct aside_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, sql, DB_PARAMS(db_int(tx->farm_id), db_int((int64_t)most)), &rows, err))
        return false;

    struct aside_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_row){.receipt = db_rows_int(&rows, i, 0),
                                           .file_name = db_rows_dup(&rows, i, 1, mem),
                                           .source = db_rows_dup(&rows, i, 2, mem),
                                           .line = (int32_t)db_rows_int(&rows, i, 3),
                                           .column = (int32_t)db_rows_int(&rows, i, 4),
                                           .reason = db_rows_dup(&rows, i, 5, mem),
                                           .words = db_rows_dup(&rows, i, 6, mem),
                                           .todo = db_rows_dup(&rows, i, 7, mem),
                                           .text = db_rows_dup(&rows, i, 8, mem),
                                           .station = db_rows_dup(&rows, i, 9, mem),
                                           .parameter = db_rows_dup(&rows, i, 10, mem),
                                           .at = db_rows_instant(&rows, i, 11),
                                           .sheet = db_rows_dup(&rows, i, 12, mem)};
    *out = list;

    return true;
}

bool aside_store_list(struct db_tx *tx, struct arena *mem, size_t most, struct aside_rows *out,
                      struct err *err)
{
    return rows_list(tx, mem, &sql_set_aside_list, most, out, err);
}

bool aside_store_left_out(struct db_tx *tx, struct arena *mem, size_t most, struct aside_rows *out,
                          struct err *err)
{
    return rows_list(tx, mem, &sql_set_aside_left_out, most, out, err);
}

/* Lines and columns of rows as arrays of the database, into the third and fourth parameter. */
static bool places_put(struct arena *mem, const struct aside_rows *rows, struct db_param *params,
                       struct err *err)
{
    struct columns columns = columns_new(mem, 2);

    for (size_t i = 0; i < rows->count; i++) {
        columns_put_int(&columns, rows->items[i].line);
        columns_put_int(&columns, rows->items[i].column);
    }

    return columns_params(&columns, params + 2, err);
}

bool aside_store_leave_out_many(struct db_tx *tx, struct arena *mem, const struct aside_rows *rows,
                                const struct aside_deed *deed, struct err *err)
{
    struct db_param params[] = {db_int(tx->farm_id),
                                db_int(rows->items[0].receipt),
                                db_null(),
                                db_null(),
                                db_text(deed->reason),
                                db_text(deed->person),
                                db_instant(deed->at),
                                db_text(deed->second_person)};

    return places_put(mem, rows, params, err) &&
           db_do(tx, &sql_set_aside_leave_out_many, (struct db_params){params, ARRAY_LEN(params)},
                 err);
}

bool aside_store_put_back_many(struct db_tx *tx, struct arena *mem, const struct aside_rows *rows,
                               const struct aside_deed *deed, struct err *err)
{
    struct db_param params[] = {
        db_int(tx->farm_id),   db_int(rows->items[0].receipt), db_null(),           db_null(),
        db_text(deed->reason), db_text(deed->person),          db_instant(deed->at)};

    return places_put(mem, rows, params, err) &&
           db_do(tx, &sql_set_aside_put_back_many, (struct db_params){params, ARRAY_LEN(params)},
                 err);
}

bool aside_store_counts(struct db_tx *tx, struct arena *mem, struct aside_counts *out,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_counts, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct aside_counts list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_count, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_count){.file_name = db_rows_dup(&rows, i, 0, mem),
                                             .reason = db_rows_dup(&rows, i, 1, mem),
                                             .rows = db_rows_int(&rows, i, 2)};
    *out = list;

    return true;
}

/* The value columns of a row: qualifier, reported, unit from `column` on. */
static void value_from_row(const struct db_rows *rows, size_t row, int column, struct arena *mem,
                           struct aside_row *out)
{
    out->has_value = !db_rows_null(rows, row, column);
    out->qualifier = db_rows_text(rows, row, column)[0];
    if (!db_rows_null(rows, row, column + 1) &&
        !decimal_parse(db_rows_text(rows, row, column + 1), &out->value))
        out->has_value = false;
    out->unit = db_rows_dup(rows, row, column + 2, mem);
}

bool aside_store_between(struct db_tx *tx, struct arena *mem, instant first, instant until,
                         bool answered_too, struct aside_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_between,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until),
                          db_bool(answered_too)),
                &rows, err))
        return false;

    struct aside_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_row, list.count);
    for (size_t i = 0; i < list.count; i++) {
        list.items[i] = (struct aside_row){.receipt = db_rows_int(&rows, i, 0),
                                           .line = (int32_t)db_rows_int(&rows, i, 1),
                                           .column = (int32_t)db_rows_int(&rows, i, 2),
                                           .reason = db_rows_dup(&rows, i, 3, mem),
                                           .words = db_rows_dup(&rows, i, 4, mem),
                                           .todo = db_rows_dup(&rows, i, 5, mem),
                                           .text = db_rows_dup(&rows, i, 6, mem),
                                           .station = db_rows_dup(&rows, i, 7, mem),
                                           .parameter = db_rows_dup(&rows, i, 8, mem),
                                           .at = db_rows_instant(&rows, i, 9),
                                           .from_probe = db_rows_bool(&rows, i, 13),
                                           .answered = db_rows_bool(&rows, i, 14),
                                           .source = db_rows_dup(&rows, i, 15, mem),
                                           .sheet = db_rows_dup(&rows, i, 16, mem)};
        value_from_row(&rows, i, 10, mem, &list.items[i]);
    }
    *out = list;

    return true;
}

bool aside_store_answered(struct db_tx *tx, struct arena *mem, instant first, instant until,
                          struct aside_answers *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_answered,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct aside_answers list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_answer, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_answer){.receipt = db_rows_int(&rows, i, 0),
                                              .line = (int32_t)db_rows_int(&rows, i, 1),
                                              .column = (int32_t)db_rows_int(&rows, i, 2),
                                              .reason = db_rows_dup(&rows, i, 3, mem),
                                              .words = db_rows_dup(&rows, i, 4, mem),
                                              .text = db_rows_dup(&rows, i, 5, mem),
                                              .answer = db_rows_dup(&rows, i, 6, mem),
                                              .because = db_rows_dup(&rows, i, 7, mem),
                                              .person = db_rows_dup(&rows, i, 8, mem),
                                              .answered_at = db_rows_instant(&rows, i, 9),
                                              .second_person = db_rows_dup(&rows, i, 10, mem),
                                              .station = db_rows_dup(&rows, i, 11, mem),
                                              .parameter = db_rows_dup(&rows, i, 12, mem),
                                              .at = db_rows_instant(&rows, i, 13),
                                              .typed = db_rows_dup(&rows, i, 14, mem),
                                              .file_name = db_rows_dup(&rows, i, 15, mem),
                                              .sheet = db_rows_dup(&rows, i, 16, mem)};
    *out = list;

    return true;
}

bool aside_store_answered_of(struct db_tx *tx, struct arena *mem, const char *file_name,
                             struct aside_answers *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_answered_of, DB_PARAMS(db_int(tx->farm_id), db_text(file_name)),
                &rows, err))
        return false;

    struct aside_answers list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_answer, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_answer){.receipt = db_rows_int(&rows, i, 0),
                                              .line = (int32_t)db_rows_int(&rows, i, 1),
                                              .column = (int32_t)db_rows_int(&rows, i, 2),
                                              .reason = db_rows_dup(&rows, i, 3, mem),
                                              .text = db_rows_dup(&rows, i, 4, mem),
                                              .answer = db_rows_dup(&rows, i, 5, mem),
                                              .person = db_rows_dup(&rows, i, 6, mem),
                                              .second_person = db_rows_dup(&rows, i, 7, mem),
                                              .sheet = db_rows_dup(&rows, i, 8, mem),
                                              .file_name = file_name,
                                              .at = INSTANT_NONE,
                                              .answered_at = INSTANT_NONE};
    *out = list;

    return true;
}

bool aside_store_see(struct db_tx *tx, const struct aside_answer *answer, const char *person,
                     instant at, struct err *err)
{
    return db_do(tx, &sql_set_aside_see,
                 DB_PARAMS(db_int(tx->farm_id), db_int(answer->receipt), db_int(answer->line),
                           db_int(answer->column), db_text(person), db_instant(at)),
                 err);
}

bool aside_store_see_rule(struct db_tx *tx, const char *source, const char *made_by,
                          instant made_at, const char *person, instant at, size_t *seen,
                          struct err *err)
{
    return db_do_count(tx, &sql_set_aside_see_rule,
                       DB_PARAMS(db_int(tx->farm_id), db_text(source), db_text(made_by),
                                 db_instant(made_at), db_text(person), db_instant(at)),
                       seen, err);
}

bool aside_store_of_rule(struct db_tx *tx, struct arena *mem, const char *source,
                         const char *made_by, instant made_at, struct aside_counts *out,
                         struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_set_aside_of_rule,
            DB_PARAMS(db_int(tx->farm_id), db_text(source), db_text(made_by), db_instant(made_at)),
            &rows, err))
        return false;

    struct aside_counts list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_count, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_count){.file_name = db_rows_dup(&rows, i, 0, mem),
                                             .rows = db_rows_int(&rows, i, 1)};
    *out = list;

    return true;
}

bool aside_store_one(struct db_tx *tx, struct arena *mem, int64_t receipt, int32_t line,
                     int32_t column, struct aside_row *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_one,
                DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(line), db_int(column)),
                &rows, err))
        return false;
    if (db_rows_count(&rows) == 0)
        return err_set(err, ERR_NOT_FOUND, "no row is set aside there");

    *out = (struct aside_row){.receipt = receipt,
                              .line = line,
                              .column = column,
                              .reason = db_rows_dup(&rows, 0, 0, mem),
                              .words = db_rows_dup(&rows, 0, 1, mem),
                              .text = db_rows_dup(&rows, 0, 2, mem),
                              .station = db_rows_dup(&rows, 0, 3, mem),
                              .parameter = db_rows_dup(&rows, 0, 4, mem),
                              .at = db_rows_instant(&rows, 0, 5),
                              .sample = db_rows_dup(&rows, 0, 9, mem),
                              .answered = db_rows_bool(&rows, 0, 10)};
    value_from_row(&rows, 0, 6, mem, out);

    return true;
}

bool aside_store_answer(struct db_tx *tx, const struct aside_row *row, const char *answer,
                        const struct aside_deed *deed, struct err *err)
{
    return db_do(tx, &sql_set_aside_answer,
                 DB_PARAMS(db_int(tx->farm_id), db_int(row->receipt), db_int(row->line),
                           db_int(row->column), db_text(answer), db_text(deed->reason),
                           db_text(deed->person), db_instant(deed->at),
                           db_text(deed->second_person)),
                 err);
}

bool aside_store_open_places(struct db_tx *tx, struct arena *mem, int64_t receipt,
                             struct aside_places *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_open_places, DB_PARAMS(db_int(tx->farm_id), db_int(receipt)),
                &rows, err))
        return false;

    struct aside_places list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_place, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_place){.line = (int32_t)db_rows_int(&rows, i, 0),
                                             .column = (int32_t)db_rows_int(&rows, i, 1)};
    *out = list;

    return true;
}

bool aside_store_accept_staged(struct db_tx *tx, int64_t receipt, bool by_column,
                               const struct aside_deed *deed, size_t *accepted, struct err *err)
{
    return db_do_count(tx, &sql_set_aside_stage_accept,
                       DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_bool(by_column),
                                 db_text(deed->reason), db_text(deed->person), db_instant(deed->at),
                                 db_text(deed->second_person)),
                       accepted, err);
}

bool aside_store_typed_add(struct db_tx *tx, int64_t receipt, int32_t line, int32_t column,
                           const char *what, const char *typed, struct err *err)
{
    return db_do(tx, &sql_set_aside_typed_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(line), db_int(column),
                           db_text(what), db_text(typed)),
                 err);
}

bool aside_store_typed_list(struct db_tx *tx, struct arena *mem, struct aside_typeds *out,
                            struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_set_aside_typed_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct aside_typeds list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct aside_typed, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct aside_typed){.receipt = db_rows_int(&rows, i, 0),
                                             .line = (int32_t)db_rows_int(&rows, i, 1),
                                             .column = (int32_t)db_rows_int(&rows, i, 2),
                                             .source = db_rows_dup(&rows, i, 3, mem),
                                             .typed = db_rows_dup(&rows, i, 4, mem),
                                             .text = db_rows_dup(&rows, i, 5, mem),
                                             .person = db_rows_dup(&rows, i, 6, mem),
                                             .typed_at = db_rows_instant(&rows, i, 7)};
    *out = list;

    return true;
}

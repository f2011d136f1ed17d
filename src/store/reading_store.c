#include "store/reading_store.h"

#include <stdlib.h>
#include <string.h>

#include "base/str.h"
#include "db/sql_catalog.h"
#include "store/columns.h"

enum { COPY_FIELDS = 13, STAGE_FIELDS = 17, NOTE_FIELDS = 9 };

bool reading_store_partitions(struct db_tx *tx, instant first, instant last, struct err *err)
{
    return db_do(tx, &sql_reading_partitions, DB_PARAMS(db_instant(first), db_instant(last)), err);
}

bool reading_store_any(struct db_tx *tx, const char *series, instant first, instant last,
                       bool *found, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_reading_any_between,
            DB_PARAMS(db_int(tx->farm_id), db_text(series), db_instant(first), db_instant(last)),
            &rows, err))
        return false;
    *found = db_rows_bool(&rows, 0, 0);

    return true;
}

bool reading_store_copy(struct db_tx *tx, struct db_copy *copy, struct err *err)
{
    return db_copy_begin(tx, &sql_reading_copy_in, copy, err);
}

/* The fields that the hot table and the staging table share. */
static void put_fields(struct db_copy *copy, int64_t farm_id, const struct reading_row *row)
{
    char qualifier[2] = {row->qualifier, '\0'};
    bool has_number = row->qualifier != 'n';

    db_copy_int8(copy, farm_id);
    db_copy_int8(copy, row->series_id);
    db_copy_instant(copy, row->at);
    db_copy_instant(copy, row->until);
    db_copy_int8(copy, row->portion);
    if (has_number)
        db_copy_float8(copy, row->value);
    else
        db_copy_null(copy);
    db_copy_int8(copy, row->receipt);
    db_copy_int4(copy, row->line);
    db_copy_int4(copy, row->column);
    db_copy_int2(copy, row->in_doubt ? 1 : 0);
    db_copy_text(copy, qualifier);
    if (has_number)
        db_copy_numeric(copy, row->reported.coefficient, row->reported.scale);
    else
        db_copy_null(copy);
    db_copy_text(copy, row->unit);
}

void reading_store_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row)
{
    db_copy_row(copy, COPY_FIELDS);
    put_fields(copy, farm_id, row);
}

bool reading_store_note_copy(struct db_tx *tx, struct db_copy *copy, struct err *err)
{
    return db_do(tx, &sql_reading_note_make, DB_NO_PARAMS, err) &&
           db_copy_begin(tx, &sql_reading_note_copy_in, copy, err);
}

bool reading_store_note_settle(struct db_tx *tx, struct err *err)
{
    return db_do(tx, &sql_reading_note_make, DB_NO_PARAMS, err) &&
           db_do(tx, &sql_reading_note_store, DB_PARAMS(db_int(tx->farm_id)), err);
}

static void put_limit(struct db_copy *copy, struct decimal limit)
{
    if (limit.coefficient)
        db_copy_numeric(copy, limit.coefficient, limit.scale);
    else
        db_copy_null(copy);
}

static void put_note(struct db_copy *copy, const struct reading_note *note)
{
    put_limit(copy, note->detection);
    put_limit(copy, note->quantitation);
    db_copy_text(copy, note->doubt);
    db_copy_text(copy, note->taken_by);
}

void reading_store_note_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row,
                            const struct reading_note *note)
{
    db_copy_row(copy, NOTE_FIELDS);
    db_copy_int8(copy, farm_id);
    db_copy_int8(copy, row->series_id);
    db_copy_instant(copy, row->at);
    db_copy_instant(copy, row->until);
    db_copy_int8(copy, row->portion);
    put_note(copy, note);
}

bool reading_store_stage(struct db_tx *tx, struct db_copy *copy, struct err *err)
{
    return db_do(tx, &sql_reading_stage_make, DB_NO_PARAMS, err) &&
           db_copy_begin(tx, &sql_reading_stage_copy_in, copy, err);
}

void reading_store_stage_put(struct db_copy *copy, int64_t farm_id, const struct reading_row *row,
                             const struct reading_note *note)
{
    db_copy_row(copy, STAGE_FIELDS);
    put_fields(copy, farm_id, row);
    put_note(copy, note);
}

/* How many staged rows were found to be known already, and to contradict. */
static bool answers_count(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                          struct settle_counts *counts, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, sql, params, &rows, err))
        return false;
    counts->already_known += db_rows_int(&rows, 0, 0);
    counts->set_aside += db_rows_int(&rows, 0, 1);

    return true;
}

static bool staged_judge(struct db_tx *tx, const struct settle_order *order,
                         struct settle_counts *counts, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows plan = {0};

    if (!db_run(tx, &sql_reading_stage_plan, DB_NO_PARAMS, &plan, err))
        return false;
    if (!order->each_once &&
        !answers_count(tx, &sql_reading_stage_judge_file,
                       DB_PARAMS(db_text("rows of this file contradict each other: lines ")),
                       counts, err))
        return false;

    int64_t contradicting = counts->set_aside;

    return answers_count(tx, &sql_reading_stage_judge_stored,
                         DB_PARAMS(db_int(tx->farm_id), db_text(order->series),
                                   db_instant(order->first), db_instant(order->last)),
                         counts, err) &&
           (order->each_once || counts->set_aside == contradicting ||
            answers_count(tx, &sql_reading_stage_judge_alike, DB_NO_PARAMS, counts, err));
}

static bool staged_set_aside(struct db_tx *tx, const struct settle_order *order, struct err *err)
{
    return db_do(tx, &sql_reading_stage_say_stored,
                 DB_PARAMS(db_int(tx->farm_id), db_text(order->series), db_instant(order->first),
                           db_instant(order->last), db_text("another value is stored already: ")),
                 err) &&
           db_do(tx, &sql_reading_stage_set_aside,
                 DB_PARAMS(db_int(tx->farm_id),
                           db_text("Ask who wrote the file which of them is right. Leave the wrong "
                                   "one out (weirbook aside leave-out FILE LINE), then weirbook "
                                   "aside read-again FILE takes the other."),
                           db_text("If the new value is right, accept it as a correction: "
                                   "weirbook aside accept.")),
                 err);
}

bool reading_store_settle(struct db_tx *tx, const struct settle_order *order,
                          struct settle_counts *out, struct err *err)
{
    struct settle_counts counts = {0};

    if (!staged_judge(tx, order, &counts, err) ||
        (order->set_aside && counts.set_aside > 0 && !staged_set_aside(tx, order, err)) ||
        !db_do(tx, &sql_reading_stage_store, DB_PARAMS(db_int(tx->farm_id)), err) ||
        (order->noted && !db_do(tx, &sql_reading_stage_notes, DB_PARAMS(db_int(tx->farm_id)), err)))
        return false;

    counts.stored = order->rows - counts.already_known - counts.set_aside;
    *out = counts;

    return true;
}

/* A numeric that fits our decimals, as everything we stored does. */
struct staged_to {
    reading_each each;
    void *context;
    struct arena *mem;
};

static bool staged_row(void *context, const struct db_field *f, int count, struct err *err)
{
    const struct staged_to *to = context;
    struct reading_row row = {.series_id = db_field_int(&f[0]),
                              .at = db_field_int(&f[1]),
                              .until = db_field_int(&f[2]),
                              .portion = db_field_int(&f[3]),
                              .qualifier = f[4].bytes[0],
                              .unit = db_field_dup(&f[6], to->mem),
                              .line = (int32_t)db_field_int(&f[7]),
                              .column = (int32_t)db_field_int(&f[8])};

    (void)count;
    if (!db_field_decimal(&f[5], &row.reported, err))
        return false;

    bool done = to->each(to->context, &row, err);

    arena_reset(to->mem);

    return done;
}

bool reading_store_staged(struct db_tx *tx, reading_each each, void *context, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct staged_to to = {each, context, mem};

    return db_each(tx, &sql_reading_stage_leaves, DB_PARAMS(db_int(tx->farm_id)), staged_row, &to,
                   err);
}

bool reading_store_neighbours(struct db_tx *tx, int64_t series_id, instant first, instant until,
                              instant *before, instant *after, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_reading_neighbours,
            DB_PARAMS(db_int(tx->farm_id), db_int(series_id), db_instant(first), db_instant(until)),
            &rows, err))
        return false;
    *before = db_rows_instant(&rows, 0, 0);
    *after = db_rows_instant(&rows, 0, 1);

    return true;
}

/* A numeric as told; nothing where it is null. */
static struct decimal told_decimal(const struct db_rows *rows, size_t row, int column)
{
    struct decimal value = {0};

    if (!db_rows_null(rows, row, column) && !decimal_parse(db_rows_text(rows, row, column), &value))
        return (struct decimal){0};

    return value;
}

/* Of those that have not as many as they may have: within so many days. */
static bool newest_within(struct db_tx *tx, struct arena *mem, struct reading_newest *items,
                          size_t count, instant first, int days, struct err *err)
{
    enum { SERIES, MOST, COLUMNS };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct columns columns = columns_new(mem, COLUMNS);
    struct db_param asked[COLUMNS];
    size_t row = 0;

    for (size_t i = 0; i < count; i++) {
        if (items[i].found == items[i].most)
            continue;
        columns_put_int(&columns, items[i].series_id);
        columns_put_int(&columns, (int64_t)items[i].most);
    }
    if (columns.put == 0)
        return true;
    if (!columns_params(&columns, asked, err) ||
        !db_run(tx, &sql_reading_newest,
                DB_PARAMS(db_int(tx->farm_id), asked[SERIES], db_instant(first), asked[MOST],
                          db_int(days)),
                &rows, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        if (items[i].found == items[i].most)
            continue;
        items[i].oldest = db_rows_instant(&rows, row, 0);
        items[i].found = (size_t)db_rows_int(&rows, row++, 1);
    }

    return true;
}

bool reading_store_newest(struct db_tx *tx, struct arena *mem, struct reading_newest *items,
                          size_t count, instant first, struct err *err)
{
    /* The server goes through all that a series has in them: a logger has enough in the first. */
    static const int days[] = {2, 61, 3660};

    for (size_t i = 0; i < ARRAY_LEN(days); i++)
        if (!newest_within(tx, mem, items, count, first, days[i], err))
            return false;

    return true;
}

bool reading_store_notes(struct db_tx *tx, struct arena *mem, instant first, instant until,
                         struct reading_tolds *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_reading_notes,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct reading_tolds list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct reading_told, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct reading_told){.series_id = db_rows_int(&rows, i, 0),
                                              .at = db_rows_instant(&rows, i, 1),
                                              .until = db_rows_instant(&rows, i, 2),
                                              .portion = db_rows_int(&rows, i, 3),
                                              .detection = told_decimal(&rows, i, 4),
                                              .quantitation = told_decimal(&rows, i, 5),
                                              .doubt = db_rows_dup(&rows, i, 6, mem),
                                              .taken_by = db_rows_dup(&rows, i, 7, mem)};
    *out = list;

    return true;
}

static int by_portion(const void *a, const void *b)
{
    int64_t left = ((const struct portion_row *)a)->portion;
    int64_t right = ((const struct portion_row *)b)->portion;

    return (left > right) - (left < right);
}

bool reading_store_portions(struct db_tx *tx, struct arena *mem, instant first, instant until,
                            struct portion_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_reading_portions,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct portion_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct portion_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct portion_row){.portion = db_rows_int(&rows, i, 0),
                                             .sample = db_rows_dup(&rows, i, 1, mem),
                                             .replicate = db_rows_dup(&rows, i, 2, mem),
                                             .purpose = db_rows_dup(&rows, i, 3, mem),
                                             .taken_by = db_rows_dup(&rows, i, 4, mem)};
    if (list.count > 1)
        qsort(list.items, list.count, sizeof(list.items[0]), by_portion);
    *out = list;

    return true;
}

bool reading_store_at(struct db_tx *tx, struct arena *mem, const char *station,
                      const char *parameter, instant at, struct reading_founds *out,
                      struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_reading_at,
            DB_PARAMS(db_int(tx->farm_id), db_text(station), db_text(parameter), db_instant(at)),
            &rows, err))
        return false;

    struct reading_founds list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct reading_found, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct reading_found){.series_id = db_rows_int(&rows, i, 0),
                                   .at = db_rows_instant(&rows, i, 1),
                                   .until = db_rows_instant(&rows, i, 2),
                                   .portion = db_rows_int(&rows, i, 3),
                                   .qualifier = db_rows_text(&rows, i, 4)[0],
                                   .reported = arena_strdup(mem, db_rows_text(&rows, i, 5)),
                                   .unit = db_rows_dup(&rows, i, 6, mem),
                                   .left_out = db_rows_bool(&rows, i, 7),
                                   .receipt = db_rows_int(&rows, i, 8),
                                   .line = (int32_t)db_rows_int(&rows, i, 9),
                                   .made_by = db_rows_dup(&rows, i, 10, mem),
                                   .sample = db_rows_dup(&rows, i, 11, mem),
                                   .position = db_rows_dup(&rows, i, 12, mem)};
    *out = list;

    return true;
}

bool reading_store_span(struct db_tx *tx, instant *first, instant *last, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_reading_months, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    *first = db_rows_instant(&rows, 0, 0);
    *last = db_rows_instant(&rows, 0, 1);

    return true;
}

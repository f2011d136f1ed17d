#include "store/reading_view.h"

#include <stdlib.h>
#include <string.h>

#include "base/search.h"
#include "base/str.h"
#include "db/sql_catalog.h"

/* The newest value of a corrected reading, and whether it is left out: neither undoes the other. */
struct standing_correction {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion;
    bool has_value;
    char qualifier;
    struct decimal reported;
    const char *unit;
    bool left_out;
    const char *reason;
    const char *person;
    const char *second_person; /* or NULL */
    instant made_at;
    const char *left_out_reason;
};

struct standing_corrections {
    struct standing_correction *items; /* in the order of the readings */
    size_t count;
    size_t capacity;
};

struct corrections_to {
    struct arena *mem;
    struct standing_corrections list;
};

static bool of_one_reading(const struct standing_correction *a, const struct standing_correction *b)
{
    return a->series_id == b->series_id && a->at == b->at && a->until == b->until &&
           a->portion == b->portion;
}

static bool correction_row_fold(void *context, const struct db_field *f, int count, struct err *err)
{
    struct corrections_to *to = context;
    struct standing_correction of = {.series_id = db_field_int(&f[0]),
                                     .at = db_field_int(&f[1]),
                                     .until = db_field_int(&f[2]),
                                     .portion = db_field_int(&f[3])};
    const char *kind = db_field_dup(&f[4], to->mem);

    (void)count;
    if (to->list.count == 0 || !of_one_reading(&to->list.items[to->list.count - 1], &of))
        LIST_ADD(to->mem, &to->list, of);

    struct standing_correction *last = &to->list.items[to->list.count - 1];

    if (str_equal(kind, "value")) {
        last->has_value = true;
        last->qualifier = f[5].bytes[0];
        last->unit = db_field_dup(&f[7], to->mem);
        last->reason = db_field_dup(&f[8], to->mem);
        last->person = db_field_dup(&f[9], to->mem);
        last->second_person = db_field_dup(&f[10], to->mem);
        last->made_at = db_field_int(&f[11]);
        return db_field_decimal(&f[6], &last->reported, err);
    }
    last->left_out = str_equal(kind, "left out");
    last->left_out_reason = db_field_dup(&f[8], to->mem);

    return true;
}

struct view_to {
    reading_view_each each;
    void *context;
    struct standing_corrections corrections;
    size_t next; /* the first of them that no reading has passed */
};

static int place_compare(const struct standing_correction *correction,
                         const struct reading_view *view)
{
    const int64_t left[] = {correction->series_id, correction->at, correction->until,
                            correction->portion};
    const int64_t right[] = {view->series_id, view->at, view->until, view->portion};

    for (size_t i = 0; i < ARRAY_LEN(left); i++)
        if (left[i] != right[i])
            return left[i] < right[i] ? -1 : 1;

    return 0;
}

/* Both come in one order, so that what is passed is never looked at again. */
static void correct_view(struct view_to *to, struct reading_view *view)
{
    const struct standing_corrections *all = &to->corrections;

    while (to->next < all->count && place_compare(&all->items[to->next], view) < 0)
        to->next++;
    if (to->next == all->count || place_compare(&all->items[to->next], view) != 0)
        return;

    const struct standing_correction *correction = &all->items[to->next];

    view->left_out = correction->left_out;
    view->corrected = correction->has_value;
    if (correction->has_value) {
        view->qualifier = correction->qualifier;
        view->reported = correction->reported;
        view->unit = correction->unit;
        view->unit_length = (int)strlen(correction->unit);
        view->reason = correction->reason;
        view->value_reason = correction->reason;
        view->value_person = correction->person;
        view->value_second = correction->second_person;
        view->value_made_at = correction->made_at;
    }
    if (correction->left_out)
        view->reason = correction->left_out_reason;
    view->reason_length = view->reason ? (int)strlen(view->reason) : 0;
}

/* --- by series and time ---------------------------------------------------------------------- */

/* A reading as first stored. */
struct stored {
    struct stored *next; /* of its series, as they came */
    instant at;
    instant until;
    int64_t portion;
    struct decimal reported;
    int64_t receipt;
    const char *unit;
    int unit_length;
    int32_t line;
    int32_t column;
    char qualifier;
    bool in_doubt;
};

struct stored_series {
    int64_t series_id;
    struct stored *first;
    struct stored *last;
    size_t count;
    bool unordered; /* one of them came before an earlier one */
};

struct stored_to {
    struct arena *mem;
    struct stored_series *items; /* by series_id */
    size_t count;
    size_t capacity;
    size_t latest;
};

/* The position of a series, or the one that it would have. */
static size_t series_position(const struct stored_to *to, int64_t series_id)
{
    return SEARCH_FROM(to->items, to->count, series_id, series_id);
}

static struct stored_series *series_of(struct stored_to *to, int64_t series_id)
{
    size_t at = to->latest;

    /* The columns of a file come one after the other, row by row. */
    if (at < to->count && to->items[at].series_id != series_id)
        at++;
    if (at >= to->count || to->items[at].series_id != series_id)
        at = series_position(to, series_id);
    if (at == to->count || to->items[at].series_id != series_id) {
        LIST_ADD(to->mem, to, (struct stored_series){0});
        memmove(&to->items[at + 1], &to->items[at], (to->count - 1 - at) * sizeof(*to->items));
        to->items[at] = (struct stored_series){.series_id = series_id};
    }
    to->latest = at;

    return &to->items[at];
}

static int stored_order(const struct stored *left, const struct stored *right)
{
    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;
    if (left->until != right->until)
        return left->until < right->until ? -1 : 1;

    return (left->portion > right->portion) - (left->portion < right->portion);
}

static int by_time(const void *a, const void *b)
{
    return stored_order(*(const struct stored *const *)a, *(const struct stored *const *)b);
}

/* Put a series in order. */
static void series_sort(struct arena *mem, struct stored_series *series)
{
    struct stored **rows = ARENA_ARRAY(mem, struct stored *, series->count + 1);
    size_t count = 0;

    for (struct stored *row = series->first; row; row = row->next)
        rows[count++] = row;
    qsort(rows, count, sizeof(struct stored *), by_time);
    for (size_t i = 0; i < count; i++)
        rows[i]->next = rows[i + 1];
    series->first = rows[0];
}

/* The unit's text: the server's copy goes with its row, and most rows have that of the last one. */
static const char *unit_keep(const struct stored_to *to, const struct stored *last,
                             const struct db_field *unit)
{
    if (last && last->unit_length == unit->length &&
        memcmp(last->unit, unit->bytes, (size_t)unit->length) == 0)
        return last->unit;

    return arena_strndup(to->mem, unit->bytes, (size_t)unit->length);
}

static bool stored_row(void *context, const struct db_field *f, int count, struct err *err)
{
    enum { RECEIPT = 8 }; /* its column, where it comes, and with it line and column */
    struct stored_to *to = context;
    struct stored_series *series = series_of(to, db_field_int(&f[0]));
    struct stored *last = series->last;
    struct stored *row = ARENA_NEW(to->mem, struct stored);

    *row = (struct stored){.at = db_field_int(&f[1]),
                           .until = db_field_int(&f[2]),
                           .portion = db_field_int(&f[3]),
                           .qualifier = f[4].bytes[0],
                           .unit = unit_keep(to, last, &f[6]),
                           .unit_length = f[6].length,
                           .in_doubt = (db_field_int(&f[7]) & 1) != 0};
    if (count > RECEIPT) {
        row->receipt = db_field_int(&f[RECEIPT]);
        row->line = (int32_t)db_field_int(&f[RECEIPT + 1]);
        row->column = (int32_t)db_field_int(&f[RECEIPT + 2]);
    }
    if (row->until == INSTANT_NONE)
        row->until = row->at;
    if (!db_field_decimal(&f[5], &row->reported, err))
        return false;
    if (last)
        last->next = row;
    else
        series->first = row;
    series->unordered = series->unordered || (last && stored_order(last, row) > 0);
    series->last = row;
    series->count++;

    return true;
}

static bool series_hand(struct view_to *to, const struct stored_series *series, struct err *err)
{
    for (const struct stored *row = series->first; row; row = row->next) {
        struct reading_view view = {.series_id = series->series_id,
                                    .at = row->at,
                                    .until = row->until,
                                    .portion = row->portion,
                                    .qualifier = row->qualifier,
                                    .reported = row->reported,
                                    .unit = row->unit,
                                    .unit_length = row->unit_length,
                                    .in_doubt = row->in_doubt,
                                    .receipt = row->receipt,
                                    .line = row->line,
                                    .column = row->column,
                                    .first_qualifier = row->qualifier,
                                    .first_reported = row->reported,
                                    .first_unit = row->unit,
                                    .first_unit_length = row->unit_length,
                                    .of_series = series->count};

        correct_view(to, &view);
        if (!to->each(to->context, &view, err))
            return false;
    }

    return true;
}

bool reading_view_list(struct db_tx *tx, const char *series, instant first, instant until,
                       bool in_brief, reading_view_each each, void *context, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct sql_text *evidence =
        in_brief ? &sql_reading_evidence_brief : &sql_reading_evidence;
    struct corrections_to corrections = {.mem = mem};
    struct stored_to stored = {.mem = mem};
    struct db_params params =
        DB_PARAMS(db_int(tx->farm_id), db_text(series), db_instant(first), db_instant(until));

    if (!db_each(tx, &sql_correction_standing, params, correction_row_fold, &corrections, err) ||
        !db_each(tx, evidence, params, stored_row, &stored, err))
        return false;

    struct view_to to = {.each = each, .context = context, .corrections = corrections.list};

    for (size_t i = 0; i < stored.count; i++) {
        struct stored_series *of = &stored.items[i];

        if (of->unordered)
            series_sort(mem, of);
        if (!series_hand(&to, of, err))
            return false;
    }

    return true;
}

#include "app/clauses.h"

#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "judge/period.h"
#include "store/clause_store.h"
#include "store/farm_store.h"

static const char *const licence_changed = "licence changed";

static day_number day_least(day_number a, day_number b)
{
    if (a == DAY_NONE)
        return b;

    return b == DAY_NONE || a < b ? a : b;
}

/* The last form of the clause in the list so far, or NULL. */
static struct clause_limit *limit_last(struct clause_limits *list, const char *key)
{
    if (list->count == 0 || !str_equal(list->items[list->count - 1].limit.key, key))
        return NULL;

    return &list->items[list->count - 1];
}

/* A new form that nobody compared yet keeps the one before beside it. */
static void limit_unconfirmed(struct arena *mem, struct clause_limit *form,
                              const struct clause_limit *last)
{
    const struct limit *before = last->before;

    /* One that has an older form beside it was not compared itself. */
    if (!before && last->limit.confirmed)
        before = &last->limit;
    if (form->limit.confirmed || !before)
        return;

    struct limit *older = arena_copy(mem, before, sizeof(*before));

    older->in_force_from = form->limit.in_force_from;
    older->in_force_to = form->limit.in_force_to;
    older->beside = BESIDE_CHANGED;
    form->before = older;
    form->limit.confirmed = true;
    form->limit.beside = BESIDE_OLDER;
}

static void limit_form_add(struct arena *mem, struct clause_limits *list, struct clause_limit form,
                           const char *change)
{
    struct clause_limit *last = limit_last(list, form.limit.key);

    if (!last) {
        LIST_ADD(mem, list, form);
        return;
    }
    if (!change) {
        if (!form.limit.confirmed) {
            form.limit.confirmed = last->limit.confirmed;
            form.before = last->before;
            form.limit.beside = last->limit.beside;
        }
        *last = form;
        return;
    }
    limit_unconfirmed(mem, &form, last);
    if (str_equal(change, licence_changed)) {
        last->limit.in_force_to = day_least(last->limit.in_force_to, form.limit.in_force_from - 1);
        LIST_ADD(mem, list, form);
    } else {
        *last = form;
    }
}

/* The order of the licence's table, forms of one clause oldest first. */
struct place {
    int order;
    const char *key;
    day_number from;
};

static int place_order(struct place left, struct place right)
{
    if (left.order != right.order)
        return left.order < right.order ? -1 : 1;
    if (!str_equal(left.key, right.key))
        return strcmp(left.key, right.key);

    return (left.from > right.from) - (left.from < right.from);
}

static int by_place(const void *a, const void *b)
{
    const struct limit *left = &((const struct clause_limit *)a)->limit;
    const struct limit *right = &((const struct clause_limit *)b)->limit;

    return place_order((struct place){left->order, left->key, left->in_force_from},
                       (struct place){right->order, right->key, right->in_force_from});
}

void clauses_sort(struct clause_limits *list)
{
    if (list->count > 1)
        qsort(list->items, list->count, sizeof(list->items[0]), by_place);
}

/* A form, with its place in the table of today; one that the farm file says is read already. */
static bool limit_read(struct arena *mem, const struct clause_row *row, const struct farm *farm,
                       struct limit *out, struct err *err)
{
    const struct farm_limit *now = farm_find_limit(farm, row->clause);

    if (now && str_equal(now->definition, row->definition)) {
        *out = now->limit;
        return true;
    }
    if (!farmfile_limit(mem, row->definition, farm, out, err))
        return false;
    if (now)
        out->order = now->limit.order;

    return true;
}

/* A farm file of the past. */
struct past {
    int version;
    const struct farm *farm;
};

struct pasts {
    struct past *items;
    size_t count;
    size_t capacity;
};

static bool past_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                      struct pasts *pasts, int version, const struct farm **out, struct err *err)
{
    struct farm_file_row file = {0};
    struct err problem = ERR_INIT;

    for (size_t i = 0; i < pasts->count; i++) {
        if (pasts->items[i].version == version) {
            *out = pasts->items[i].farm;
            return true;
        }
    }
    if (!farm_store_file_of(tx, mem, version, &file, err))
        return false;

    /* What can't be read of it any more differs, and is compared again. */
    *out = farmfile_accepted(mem, file.bytes, file.length, farm->units, &problem);
    LIST_ADD(mem, pasts, (struct past){version, *out});

    return true;
}

/* Hold back a form of a clause whose basis changed. */
static void form_hold(struct arena *mem, struct clause_limit *form,
                      const struct basis_changes *basis)
{
    struct buf why = buf_new(mem);

    if (form->limit.lacks)
        buf_addf(&why, "%s; ", form->limit.lacks);
    buf_addf(&why, "what it is worked out with changed (%s), and nobody has compared it since",
             basis_names(mem, basis));
    form->basis = basis;
    form->limit.lacks = why.data;
    if (form->before) {
        struct limit *before = arena_copy(mem, form->before, sizeof(*before));

        before->lacks = why.data;
        form->before = before;
    }
}

/* Hold each clause against the farm file by which it was last compared. */
static bool basis_compare(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                          struct clause_limits *list, struct err *err)
{
    struct pasts pasts = {0};

    for (size_t at = 0, next; at < list->count; at = next) {
        const char *key = list->items[at].limit.key;
        int compared = 0;

        for (next = at; next < list->count && str_equal(list->items[next].limit.key, key); next++)
            if (list->items[next].compared > compared)
                compared = list->items[next].compared;
        if (compared == 0 || compared >= farm->version)
            continue;

        const struct basis_forms forms = {list->items + at, next - at};
        const struct farm *past = NULL;

        if (!past_find(tx, mem, farm, &pasts, compared, &past, err))
            return false;

        const struct basis_changes *basis = basis_changed(mem, past, farm->farm, &forms);

        for (size_t i = at; basis && i < next; i++)
            form_hold(mem, &list->items[i], basis);
    }

    return true;
}

bool clauses_limits(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                    struct clause_limits *out, struct err *err)
{
    struct clause_rows rows = {0};
    struct clause_limits list = {0};
    int compared = 0;

    if (!clause_store_limits(tx, mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        struct clause_limit form = {.before = NULL};

        if (i == 0 || !str_equal(rows.items[i].clause, rows.items[i - 1].clause))
            compared = 0;
        compared = rows.items[i].compared > compared ? rows.items[i].compared : compared;
        if (rows.items[i].gone)
            continue;
        if (!limit_read(mem, &rows.items[i], farm->farm, &form.limit, err))
            return err_wrap(err, "limit %s, version %d", rows.items[i].clause,
                            rows.items[i].version);
        form.limit.definition = rows.items[i].definition;
        form.limit.version = rows.items[i].version;
        form.limit.confirmed = rows.items[i].confirmed > 0;
        form.compared = compared;
        limit_form_add(mem, &list, form, rows.items[i].change);
    }
    clauses_sort(&list);
    if (!basis_compare(tx, mem, farm, &list, err))
        return false;
    *out = list;

    return true;
}

static void interval_form_add(struct arena *mem, struct clause_intervals *list,
                              struct interval form, const char *change)
{
    struct interval *last = list->count ? &list->items[list->count - 1] : NULL;

    if (!last || !str_equal(last->key, form.key)) {
        LIST_ADD(mem, list, form);
        return;
    }
    if (!str_equal(change, licence_changed)) {
        *last = form;
        return;
    }
    last->in_force_to = day_least(last->in_force_to, form.in_force_from - 1);
    LIST_ADD(mem, list, form);
}

static int interval_by_place(const void *a, const void *b)
{
    const struct interval *left = a;
    const struct interval *right = b;

    return place_order((struct place){left->order, left->key, left->in_force_from},
                       (struct place){right->order, right->key, right->in_force_from});
}

bool clauses_intervals(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                       struct clause_intervals *out, struct err *err)
{
    struct clause_rows rows = {0};
    struct clause_intervals list = {0};

    if (!clause_store_intervals(tx, mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        struct interval form = {0};

        if (rows.items[i].gone)
            continue;
        if (!farmfile_interval(mem, rows.items[i].definition, farm, &form, err))
            return err_wrap(err, "interval %s, version %d", rows.items[i].clause,
                            rows.items[i].version);
        form.version = rows.items[i].version;

        const struct farm_interval *now = farm_find_interval(farm, form.key);

        if (now)
            form.order = now->interval.order;
        interval_form_add(mem, &list, form, rows.items[i].change);
    }
    if (list.count > 1)
        qsort(list.items, list.count, sizeof(list.items[0]), interval_by_place);
    *out = list;

    return true;
}

bool clause_meets(day_number in_force_from, day_number in_force_to, day_number from, day_number to)
{
    return in_force_from <= to && (in_force_to == DAY_NONE || in_force_to >= from);
}

bool clause_judged_in(const struct limit *form, day_number month_from, day_number month_to)
{
    day_number from;
    day_number to;

    if (clause_meets(form->in_force_from, form->in_force_to, month_from, month_to))
        return true;
    if (!period_is_span(form) || !period_has_one_figure(form) || form->change != CHANGE_OLD ||
        form->in_force_to == DAY_NONE || form->in_force_from > month_to)
        return false;
    judge_period(form, month_from, &from, &to);

    return form->in_force_to >= from;
}

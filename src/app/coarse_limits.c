#include "app/coarse_limits.h"

#include "app/findings.h"
#include "base/str.h"
#include "judge/converter.h"
#include "store/reading_view.h"

static const char kind_coarse[] = "coarse limit";

struct looking {
    struct db_tx *tx;
    struct arena *mem;
    const struct open_farm *farm;
    day_number today;
    struct coarse_limits found;
};

/* --- what a laboratory told ------------------------------------------------------------------ */

/* The newest limit of a series. `unit` NULL: there is none that can be used. */
struct told_limit {
    const char *kind;
    instant at;
    struct decimal number;
    const char *unit;
};

struct unit_found {
    struct arena *mem;
    const char *unit;
};

static bool unit_take(void *context, const struct reading_view *view, struct err *err)
{
    struct unit_found *found = context;

    (void)err;
    found->unit = arena_strndup(found->mem, view->first_unit, (size_t)view->first_unit_length);

    return true;
}

/* Limits are told in the unit of their result as it came. */
static bool told_read(struct looking *looking, const struct quality_limit_row *row,
                      struct told_limit *out, struct err *err)
{
    struct unit_found found = {looking->mem, NULL};
    bool less_is_newer = row->latest_qualifier == '<' &&
                         (row->told_at == INSTANT_NONE || row->latest_at > row->told_at);

    *out = (struct told_limit){"less-than", row->latest_at, row->latest_reported, row->latest_unit};
    if (less_is_newer)
        return true;
    if (!reading_view_list(looking->tx,
                           arena_printf(looking->mem, "{%lld}", (long long)row->series_id),
                           row->told_at, row->told_at + 1, true, unit_take, &found, err))
        return false;

    bool quantitation = row->quantitation.coefficient > 0;

    *out =
        (struct told_limit){quantitation ? "quantitation limit" : "detection limit", row->told_at,
                            quantitation ? row->quantitation : row->detection, found.unit};

    return true;
}

/* --- the clauses that it has to answer ------------------------------------------------------- */

/* Whether the clause's figure is one that a less-than of a single result can hold up. */
static bool is_of_values(const struct limit *limit)
{
    static const enum limit_statistic statistics[] = {
        STATISTIC_VALUE,
        STATISTIC_MEAN,
        STATISTIC_GEOMETRIC_MEAN,
        STATISTIC_MEDIAN,
        STATISTIC_MINIMUM,
        STATISTIC_MAXIMUM,
        STATISTIC_PERCENTILE,
        STATISTIC_LOG_NORMAL_PERCENTILE,
        STATISTIC_FLOW_WEIGHTED_MEAN,
    };

    for (size_t i = 0; i < ARRAY_LEN(statistics); i++)
        if (limit->statistic == statistics[i])
            return limit->bound_by.kind == BOUND_NUMBER &&
                   (limit->bound.has_ceiling || limit->bound.has_floor);

    return false;
}

static bool is_listed(const char *const *items, size_t count, const char *word)
{
    size_t i = 0;

    while (i < count && !str_equal(items[i], word))
        i++;

    return count == 0 || i < count;
}

/* Whether results of the series count for the clause today. */
static bool is_asked(const struct looking *looking, const struct limit *limit,
                     const struct quality_limit_row *row)
{
    return str_equal(limit->station, row->station) && str_equal(limit->parameter, row->parameter) &&
           (!limit->position || str_equal(limit->position, row->position)) &&
           limit->in_force_from <= looking->today &&
           (limit->in_force_to == DAY_NONE || limit->in_force_to >= looking->today) &&
           is_listed(limit->methods, limit->method_count, row->method) &&
           is_listed(limit->instruments, limit->instrument_count, row->made_by) &&
           is_of_values(limit);
}

static const char *laboratory_name(const struct looking *looking,
                                   const struct quality_limit_row *row)
{
    const struct farm_laboratory *laboratory =
        farm_laboratory_written(looking->farm->farm, row->made_by);

    if (laboratory)
        return laboratory->name;

    return str_empty(row->made_by) ? "the laboratory" : row->made_by;
}

/* --- words ----------------------------------------------------------------------------------- */

static const char *answer_words(struct arena *mem, const struct coarse_limit *coarse,
                                struct decimal share)
{
    switch (coarse->answer) {
    case COARSE_FINE:
        return arena_printf(mem, "fine enough for %s", coarse->bound);
    case COARSE_ABOVE_BOUND:
        return arena_printf(mem,
                            "higher than the bound, %s: a result reported as less than it can't "
                            "show that the bound was kept",
                            coarse->bound);
    case COARSE_ABOVE_FLOOR:
        return arena_printf(mem,
                            "higher than the bound, %s: a result reported as less than it shows "
                            "neither that the bound was kept nor that it was not",
                            coarse->bound);
    case COARSE_ABOVE_SHARE:
        return arena_printf(mem, "higher than the %s %% of the bound that the farm asks for, %s",
                            decimal_text(mem, share), coarse->bound);
    }

    return "";
}

static const char *whole_words(const struct looking *looking, const struct coarse_limit *coarse,
                               struct decimal share)
{
    struct arena *mem = looking->mem;
    const struct limit *limit = coarse->limit;
    const char *ask =
        coarse->answer == COARSE_FINE
            ? "."
            : arena_printf(
                  mem,
                  ". Ask for a method whose quantitation limit for %s is %s, before the next "
                  "sample is taken.",
                  limit->parameter,
                  coarse->answer == COARSE_ABOVE_SHARE
                      ? "no higher than that share"
                      : arena_printf(mem, "at or below %s %s",
                                     decimal_text(mem, limit->bound.has_ceiling
                                                           ? limit->bound.ceiling
                                                           : limit->bound.floor),
                                     limit->unit));

    return arena_printf(mem,
                        "%s, %s of %s: the %s of %s is %s, as its result of %s tells; that is "
                        "%s%s",
                        limit->name, limit->parameter, limit->station, coarse->kind,
                        laboratory_name(looking, coarse->row), coarse->told,
                        day_words(mem, zone_day(looking->farm->farm->zone, coarse->at)),
                        answer_words(mem, coarse, share), ask);
}

/* --- finding --------------------------------------------------------------------------------- */

static void clause_hold(struct looking *looking, const struct limit *limit,
                        const struct quality_limit_row *row, const struct told_limit *told)
{
    struct arena *mem = looking->mem;
    const struct farm *farm = looking->farm->farm;
    const struct farm_quality *rule = farm_find_quality(farm, row->parameter, row->made_by);
    struct decimal share = rule ? rule->coarse_percent : (struct decimal){0};
    struct converter converter = converter_to(
        looking->farm->units, parameter_find(&farm->known_parameters, row->parameter), limit->unit);
    struct amount amount;
    bool is_floor = !limit->bound.has_ceiling;

    if (!told->unit || !converter_apply(mem, &converter, told->unit, told->number, &amount, NULL))
        return;

    struct coarse_limit coarse = {
        .row = row,
        .limit = limit,
        .kind = told->kind,
        .at = told->at,
        .told = arena_printf(mem, "%s %s", decimal_text(mem, told->number), told->unit),
        .bound = limit_bound_words(mem, limit),
        .answer = coarse_for_bound(
            mem, amount_exact(mem, amount),
            exact_from_decimal(mem, is_floor ? limit->bound.floor : limit->bound.ceiling), is_floor,
            share)};

    coarse.words = whole_words(looking, &coarse, share);
    LIST_ADD(mem, &looking->found, coarse);
}

static bool row_look(struct looking *looking, const struct quality_limit_row *row, struct err *err)
{
    const struct farm_limit_list *limits = &looking->farm->farm->limits;
    struct told_limit told = {0};
    bool read = false;

    for (size_t i = 0; i < limits->count; i++) {
        const struct limit *limit = &limits->items[i].limit;

        if (!is_asked(looking, limit, row))
            continue;
        if (!read && !told_read(looking, row, &told, err))
            return false;
        read = true;
        clause_hold(looking, limit, row, &told);
    }

    return true;
}

bool coarse_limits_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        instant now, struct coarse_limits *out, struct err *err)
{
    struct looking looking = {
        .tx = tx, .mem = mem, .farm = farm, .today = zone_day(farm->farm->zone, now)};
    struct quality_limit_rows *rows = ARENA_NEW(mem, struct quality_limit_rows);

    if (!quality_store_limits(tx, mem, rows, err))
        return false;
    for (size_t i = 0; i < rows->count; i++)
        if (!row_look(&looking, &rows->items[i], err))
            return false;
    *out = looking.found;

    return true;
}

/* --- findings -------------------------------------------------------------------------------- */

static const char *subject_of(struct arena *mem, const struct coarse_limit *coarse)
{
    const struct quality_limit_row *row = coarse->row;

    return arena_printf(mem, "%s%s%s%s%s%s%s", coarse->limit->key,
                        str_empty(row->made_by) ? "" : " by ", row->made_by,
                        str_empty(row->method) ? "" : ", ", row->method,
                        str_empty(row->position) ? "" : " at ", row->position);
}

static bool is_coarse(const struct coarse_limits *all, struct arena *mem, const char *subject)
{
    for (size_t i = 0; i < all->count; i++)
        if (all->items[i].answer != COARSE_FINE &&
            str_equal(subject_of(mem, &all->items[i]), subject))
            return true;

    return false;
}

/* Whether one of that subject is open already. */
static bool is_open(const struct finding_rows *waiting, const char *subject)
{
    for (size_t i = 0; i < waiting->count; i++)
        if (str_equal(waiting->items[i].kind, kind_coarse) &&
            str_equal(waiting->items[i].subject, subject) &&
            !str_equal(waiting->items[i].step, "worked out again"))
            return true;

    return false;
}

static bool finer_end(struct db_tx *tx, struct arena *mem, const struct finding_rows *waiting,
                      const struct coarse_limits *all, instant now, struct err *err)
{
    for (size_t i = 0; i < waiting->count; i++) {
        const struct finding_row *row = &waiting->items[i];

        if (!str_equal(row->kind, kind_coarse) || str_equal(row->step, "worked out again") ||
            is_coarse(all, mem, row->subject))
            continue;
        if (!finding_store_step(tx, row->finding, "worked out again",
                                "A finer limit has come, or the clause asks for it no more.", NULL,
                                now, err))
            return false;
    }

    return true;
}

static struct finding_rows to_open(struct arena *mem, const struct farm *farm,
                                   const struct finding_rows *waiting,
                                   const struct coarse_limits *all, instant now)
{
    struct finding_rows rows = {.items = ARENA_ARRAY(mem, struct finding_row, all->count)};

    for (size_t i = 0; i < all->count; i++) {
        const struct coarse_limit *coarse = &all->items[i];
        const char *subject = subject_of(mem, coarse);

        if (coarse->answer == COARSE_FINE || is_open(waiting, subject))
            continue;
        rows.items[rows.count++] = (struct finding_row){.kind = kind_coarse,
                                                        .subject = subject,
                                                        .station = coarse->limit->station,
                                                        .from = zone_day(farm->zone, coarse->at),
                                                        .aware_at = now,
                                                        .words = coarse->words};
    }

    return rows;
}

bool coarse_limits_add(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       instant now, struct finding_rows *rows, struct err *err)
{
    struct coarse_limits all = {0};
    struct finding_rows waiting = {0};

    if (!coarse_limits_find(tx, mem, farm, now, &all, err) ||
        !finding_store_waiting(tx, mem, &waiting, err) ||
        !finer_end(tx, mem, &waiting, &all, now, err))
        return false;

    struct finding_rows added = to_open(mem, farm->farm, &waiting, &all, now);
    struct finding_rows whole = {
        .items = ARENA_ARRAY(mem, struct finding_row, rows->count + added.count),
        .count = rows->count + added.count};

    for (size_t i = 0; i < whole.count; i++)
        whole.items[i] = i < rows->count ? rows->items[i] : added.items[i - rows->count];
    *rows = whole;

    return true;
}

bool coarse_limits_look(struct db *db, const struct open_farm *farm, instant now, int *opened,
                        struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct finding_rows rows = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           coarse_limits_add(&tx, mem, farm, now, &rows, err) &&
           findings_open(&tx, mem, farm->farm, &rows, "weirbook check", now, opened, err) &&
           db_tx_commit(&tx, err);
}

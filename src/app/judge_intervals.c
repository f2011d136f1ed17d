#include "app/judge_intervals.h"

#include <stdlib.h>

#include "app/series_filler.h"
#include "base/str.h"
#include "store/clause_store.h"

/* Days to look back for the sample before the month. */
enum { LOOK_BACK_LEAST = 62 };

struct instants {
    instant *items;
    size_t count;
    size_t capacity;
};

static int by_instant(const void *a, const void *b)
{
    instant left = *(const instant *)a;
    instant right = *(const instant *)b;

    return (left > right) - (left < right);
}

static bool series_counts(const struct interval *interval, const char *parameter,
                          const struct series_row *row)
{
    return str_equal(row->station, interval->station) && str_equal(row->parameter, parameter) &&
           (!interval->position || str_equal(row->position, interval->position)) &&
           (interval->kinds == 0 || (interval->kinds & kind_bit(row->kind)));
}

/* Whether the outlet was open at an instant, as far as its record says. */
static bool outlet_open(const struct loaded_evidence *loaded, const struct interval *interval,
                        instant at)
{
    const struct evidence_point *point = evidence_point_find(loaded, interval->station);
    bool open = true;

    if (!interval->only_while_discharging || !point || point->outlet_series < 0)
        return true;

    const struct evidence_series *series = &loaded->evidence.series[point->outlet_series];

    for (size_t i = 0; i < series->count && series->readings[i].at <= at; i++) {
        if (!series->readings[i].left_out)
            open = !str_equal(series->readings[i].unit, "shut");
    }

    return open;
}

/* Instants at which one parameter has a sound reading that counts, each once, ascending. */
static bool parameter_instants(struct db_tx *tx, struct arena *mem, const struct series_rows *all,
                               const struct loaded_evidence *loaded,
                               const struct interval *interval, const char *parameter,
                               instant first, struct instants *out, struct err *err)
{
    struct buf text = buf_new(mem);
    struct filler filler = {.mem = mem};

    filler.series = ARENA_ARRAY(mem, struct filler_series, all->count);
    for (size_t i = 0; i < all->count; i++) {
        if (!series_counts(interval, parameter, &all->items[i]))
            continue;
        filler.series[filler.series_count++].row = &all->items[i];
        buf_addf(&text, "%s%lld", text.len ? "," : "{", (long long)all->items[i].series_id);
    }
    if (filler.series_count == 0)
        return true;
    buf_add_char(&text, '}');
    if (!reading_store_portions(tx, mem, first, loaded->until_at, &filler.portions, err) ||
        !reading_store_evidence(tx, text.data, first, loaded->until_at, filler_add, &filler, err))
        return false;

    for (size_t i = 0; i < filler.series_count; i++) {
        for (size_t j = 0; j < filler.series[i].count; j++) {
            const struct evidence_reading *reading = &filler.series[i].items[j];

            if (!reading->doubt && !reading->left_out && reading->counts &&
                outlet_open(loaded, interval, reading->at))
                LIST_ADD(mem, out, reading->at);
        }
    }
    if (out->count > 1)
        qsort(out->items, out->count, sizeof(out->items[0]), by_instant);

    size_t kept = 0;

    for (size_t i = 0; i < out->count; i++) {
        if (kept == 0 || out->items[kept - 1] != out->items[i])
            out->items[kept++] = out->items[i];
    }
    out->count = kept;

    return true;
}

static void keep_common(struct instants *into, const struct instants *other)
{
    size_t kept = 0;

    for (size_t i = 0; i < into->count; i++) {
        if (other->count && bsearch(&into->items[i], other->items, other->count,
                                    sizeof(other->items[0]), by_instant))
            into->items[kept++] = into->items[i];
    }
    into->count = kept;
}

/* A sample is an instant at which every parameter of the interval has its result. */
static bool sample_instants(struct db_tx *tx, struct arena *mem, const struct series_rows *all,
                            const struct loaded_evidence *loaded, const struct interval *interval,
                            struct instants *out, struct err *err)
{
    int back = interval->days * 2 + interval->tolerance_days;
    instant first =
        loaded->from_at - DAY_US * (back > LOOK_BACK_LEAST ? back : LOOK_BACK_LEAST);

    for (size_t i = 0; i < interval->parameter_count; i++) {
        struct instants one = {0};

        if (!parameter_instants(tx, mem, all, loaded, interval, interval->parameters[i], first,
                                &one, err))
            return false;
        if (i == 0)
            *out = one;
        else
            keep_common(out, &one);
    }

    return true;
}

static bool *discharging_days(struct arena *mem, const struct loaded_evidence *loaded,
                              const struct interval *interval, day_number from)
{
    const struct evidence_point *point = evidence_point_find(loaded, interval->station);
    size_t count = (size_t)(loaded->to - from) + 1;

    if (!interval->only_while_discharging || !point)
        return NULL;

    bool *days = ARENA_ARRAY(mem, bool, count);

    for (size_t i = 0; i < count; i++)
        days[i] = point->days[from - loaded->from + (day_number)i].state != DISCHARGE_NONE;

    return days;
}

static struct no_sample *reasons_of(struct arena *mem, const struct no_sample_rows *rows,
                                    const char *clause, size_t *count)
{
    struct no_sample *list = ARENA_ARRAY(mem, struct no_sample, rows->count);

    *count = 0;
    for (size_t i = 0; i < rows->count; i++) {
        if (str_equal(rows->items[i].clause, clause))
            list[(*count)++] = rows->items[i].reason;
    }

    return list;
}

static void tally(struct month_interval *month)
{
    for (size_t i = 0; i < month->dues.count; i++) {
        const struct due *due = &month->dues.items[i];

        if (due->state == DUE_NOTHING)
            continue;
        month->required += due->required;
        month->done += due->done;
        month->missed += due->state == DUE_MISSED;
    }
}

bool intervals_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct loaded_evidence *loaded, instant now,
                     struct month_intervals *out, struct err *err)
{
    struct clause_intervals clauses = {0};
    struct no_sample_rows reasons = {0};
    struct series_rows all = {0};
    day_number today = zone_day(farm->farm->zone, now);

    if (!clauses_intervals(tx, mem, farm->farm, &clauses, err) ||
        !no_sample_store_list(tx, mem, &reasons, err) || !series_store_list(tx, mem, &all, err))
        return false;

    for (size_t i = 0; i < clauses.count; i++) {
        const struct interval *interval = &clauses.items[i];
        struct month_interval month = {.interval = interval};
        struct instants at = {0};
        size_t reason_count = 0;

        if (!clause_meets(interval->in_force_from, interval->in_force_to, loaded->from,
                          loaded->to))
            continue;
        if (!sample_instants(tx, mem, &all, loaded, interval, &at, err))
            return err_wrap(err, "interval %s", interval->key);

        day_number from = plan_first_day(interval, loaded->from);
        day_number *days = ARENA_ARRAY(mem, day_number, at.count);
        struct no_sample *why = reasons_of(mem, &reasons, interval->key, &reason_count);

        for (size_t j = 0; j < at.count; j++)
            days[j] = zone_day(farm->farm->zone, at.items[j]);
        month.dues = plan_dues(mem, interval, days, at.count, why, reason_count,
                               discharging_days(mem, loaded, interval, from), from, loaded->to,
                               today);
        tally(&month);
        LIST_ADD(mem, out, month);
    }

    return true;
}

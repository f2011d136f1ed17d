#include "app/sensing.h"

#include <math.h>

#include "app/windows.h"
#include "base/str.h"
#include "store/ledger_store.h"
#include "store/reading_store.h"

enum {
    SPANS_MOST = 100000, /* that are kept while a file passes */
    DAYS_AT_ONCE = 32,   /* of what is stored and tested again */
};

struct sensed sensed_of(const struct farm *farm, const struct series_row *row)
{
    return (struct sensed){row->series_id, row->station, row->parameter,
                           farm_find_sensor_test(farm, row->station, row->position, row->parameter,
                                                 row->made_by, row->kind)};
}

/* How far a reading's flags reach; the farm file sees to it that there is an end to it. */
static int64_t reach_of(const struct sensed *of)
{
    return of->test ? sensor_rules_reach_us(&of->test->rules) : 0;
}

static int64_t gap_of(const struct sensed *of)
{
    return of->test ? of->test->rules.gap_us : 0;
}

/* --- readings in, flags out ------------------------------------------------------------------ */

static void flags_keep(struct sensing *sensing, const struct sensor_flags *flags)
{
    if (flags->at < sensing->until)
        flag_collector_add(&sensing->collector, flags);
}

void sensing_add(struct sensing *sensing, instant at, double value)
{
    struct sensor_flags flags;

    if (sensing->given_up)
        return;
    if (sensing->last != INSTANT_NONE && at <= sensing->last) {
        sensing->given_up = true;
        return;
    }
    sensing->last = at;
    if (sensor_tester_feed(&sensing->tester, at, value, &flags))
        flags_keep(sensing, &flags);
    sensing->given_up = sensing->collector.done.count > SPANS_MOST;
}

/* What is stored comes in order; of readings at one instant the first is tested. */
static bool stored_add(void *context, instant at, double value, struct err *err)
{
    struct sensing *sensing = context;
    struct sensor_flags flags;

    (void)err;
    if (sensing->last != INSTANT_NONE && at <= sensing->last)
        return true;
    sensing->last = at;
    if (sensor_tester_feed(&sensing->tester, at, value, &flags))
        flags_keep(sensing, &flags);

    return true;
}

static void flags_end(struct sensing *sensing)
{
    struct sensor_flags flags;

    if (sensor_tester_end(&sensing->tester, &flags))
        flags_keep(sensing, &flags);
    flag_collector_end(&sensing->collector);
}

static void sensing_start(struct sensing *sensing, struct arena *mem, const struct sensed *of,
                          instant from)
{
    *sensing = (struct sensing){.of = *of, .last = INSTANT_NONE, .until = INT64_MAX};
    sensor_tester_begin(&sensing->tester, &of->test->rules);
    flag_collector_begin(&sensing->collector, mem, from);
}

/* --- into the store -------------------------------------------------------------------------- */

/* A gap puts no reading in doubt. */
static struct flag_spans without_gaps(struct flag_spans spans)
{
    while (spans.count > 0 && spans.items[0].test == SENSOR_GAP) {
        spans.items++;
        spans.count--;
    }

    return spans;
}

/* What tests say of some days in place of what they said; windows where verdicts may change. */
static bool spans_put(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                      const struct sensed *of, instant first, instant until,
                      const struct flag_spans *now, struct err *err)
{
    struct flag_spans before = {.count = 0};
    instant from = INSTANT_NONE;
    instant to = INSTANT_NONE;

    if (!flag_store_clear(tx, mem, of->series_id, first, until, &before, err) ||
        (now->count > 0 && !flag_store_add(tx, of->series_id, now, of->test->words, err)))
        return false;

    const struct flag_spans doubts_before = without_gaps(before);
    const struct flag_spans doubts_now = without_gaps(*now);

    return !flag_spans_differ(&doubts_before, &doubts_now, &from, &to) ||
           windows_put_series(tx, farm, of->series_id, of->station, of->parameter, from, to, err);
}

/* The first day whose flags a reading at `first` may change, and the end of the last one. */
static instant days_first(const struct sensed *of, instant first)
{
    return flag_day_start(first - gap_of(of));
}

static instant days_end(const struct sensed *of, instant last)
{
    return flag_day_end(last + reach_of(of));
}

static bool days_again(struct db_tx *tx, const struct farm *farm, const struct sensed *of,
                       instant first, instant until, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct sensing sensing = {.of = *of};

    if (of->test) {
        sensing_start(&sensing, mem, of, first);
        sensing.until = until;
        if (!flag_store_values(tx, of->series_id, first - reach_of(of), until + gap_of(of) + 1,
                               stored_add, &sensing, err))
            return false;
        flags_end(&sensing);
    }

    return spans_put(tx, mem, farm, of, first, until, &sensing.collector.done, err);
}

bool sensing_again(struct db_tx *tx, const struct farm *farm, const struct sensed *of,
                   instant first, instant last, struct err *err)
{
    const instant end = days_end(of, last);

    if (!flag_store_lock(tx, err))
        return false;
    for (instant from = days_first(of, first); from < end; from += DAYS_AT_ONCE * DAY_US) {
        instant until = from + DAYS_AT_ONCE * DAY_US;

        if (!days_again(tx, farm, of, from, until < end ? until : end, err))
            return false;
    }

    return true;
}

bool sensing_begin(struct sensing *sensing, struct db_tx *tx, struct arena *mem,
                   const struct sensed *of, instant first, struct err *err)
{
    instant from = days_first(of, first);
    struct ledger_head head;

    if (!ledger_store_head(tx, &head, err))
        return false;
    sensing_start(sensing, mem, of, from);
    sensing->acts = head.sequence;

    return flag_store_values(tx, of->series_id, from - reach_of(of), first, stored_add, sensing,
                             err);
}

bool sensing_end(struct sensing *sensing, struct db_tx *tx, const struct farm *farm, instant first,
                 instant last, struct err *err)
{
    const struct sensed *of = &sensing->of;
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ledger_head head;

    if (!flag_store_lock(tx, err) || !ledger_store_head(tx, &head, err))
        return false;
    if (sensing->given_up || sensing->acts != head.sequence)
        return sensing_again(tx, farm, of, first, last, err);
    sensing->until = days_end(of, last);
    if (!flag_store_values(tx, of->series_id, last + 1, sensing->until + gap_of(of) + 1, stored_add,
                           sensing, err))
        return false;
    flags_end(sensing);

    return spans_put(tx, mem, farm, of, sensing->collector.collects_from, sensing->until,
                     &sensing->collector.done, err);
}

/* --- series by the farm's word --------------------------------------------------------------- */

bool sensing_again_at(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                      int64_t series_id, instant at, struct err *err)
{
    struct series_rows rows = {.count = 0};

    if (farm->sensor_tests.count == 0)
        return true;
    if (!series_store_list(tx, mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        const struct sensed of = sensed_of(farm, &rows.items[i]);

        if (of.series_id == series_id && of.test)
            return sensing_again(tx, farm, &of, at, at, err);
    }

    return true;
}

static bool tests_same(const struct farm_sensor_test *a, const struct farm_sensor_test *b)
{
    return (a == NULL) == (b == NULL) && (!a || str_equal(a->definition, b->definition));
}

bool sensing_changed(struct db_tx *tx, struct arena *mem, const struct farm *before,
                     const struct farm *now, struct err *err)
{
    struct series_rows rows = {.count = 0};
    instant first = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!before || (before->sensor_tests.count == 0 && now->sensor_tests.count == 0))
        return true;
    if (!series_store_list(tx, mem, &rows, err) || !reading_store_span(tx, &first, &last, err))
        return false;
    for (size_t i = 0; first != INSTANT_NONE && i < rows.count; i++) {
        const struct sensed was = sensed_of(before, &rows.items[i]);
        const struct sensed is = sensed_of(now, &rows.items[i]);
        const struct sensed gone = {is.series_id, is.station, is.parameter, NULL};

        if (tests_same(was.test, is.test) && str_equal(before->zone_name, now->zone_name))
            continue;
        /* What the old thresholds said may reach further than what the new ones can. */
        if ((was.test && !sensing_again(tx, now, &gone, first, last + reach_of(&was), err)) ||
            (is.test && !sensing_again(tx, now, &is, first, last, err)))
            return false;
    }

    return true;
}

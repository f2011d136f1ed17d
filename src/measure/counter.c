#include "measure/counter.h"

#include <assert.h>

const char *counter_mark_words(enum counter_mark mark)
{
    static const char *const words[COUNTER_MARKS] = {
        [COUNTER_MEASURED] = "measured",
        [COUNTER_ROLLED_OVER] = "rolled over",
        [COUNTER_REPLACED] = "meter replaced",
        [COUNTER_RESET_OR_MISREAD] = "reset or misread",
        [COUNTER_NO_LAST_READING] = "meter replaced, last reading of the old one missing",
    };

    return words[mark];
}

const struct exact *counter_full_turn(struct arena *mem, struct decimal size)
{
    const struct exact *turn = exact_from_decimal(mem, size);
    int64_t rest = size.coefficient;

    while (rest > 0 && rest % 10 == 9)
        rest /= 10;
    if (rest > 0)
        return turn;

    return exact_add(mem, turn, exact_from_decimal(mem, decimal_last_step(size)));
}

void counter_mark_replaced(struct counter_reading *readings, size_t count, instant at)
{
    size_t after = 0;

    while (after < count && readings[after].at <= at)
        after++;
    if (after > 1 && readings[after - 1].at == at &&
        exact_compare(readings[after - 1].count, readings[after - 2].count) < 0)
        after--;
    if (after == 0 || after >= count || readings[after - 1].role == COUNTER_FIRST)
        return;
    readings[after - 1].role = COUNTER_LAST;
    readings[after].role = COUNTER_FIRST;
}

static const size_t NONE = SIZE_MAX;

/* What is worked out so far. */
struct work {
    struct arena *mem;
    const struct counter *counter;
    const struct counter_reading *readings;
    size_t good;    /* the last reading that counts */
    size_t suspect; /* the last one set aside after it; equal to good when there is none */
    size_t before;  /* the one that the last span leads from to the good one; NONE: not measured */
    struct counter_spans *spans;
    struct counter_suspects *suspects;
};

static void add_span(struct work *work, size_t from, size_t until, const struct exact *volume,
                     enum counter_mark mark)
{
    LIST_ADD(work->mem, work->spans,
             ((struct counter_span){.from = work->readings[from].at,
                                    .until = work->readings[until].at,
                                    .volume = volume,
                                    .mark = mark}));
}

static const struct exact *times_multiplier(const struct work *work, const struct exact *counts)
{
    return exact_mul(work->mem, counts, work->counter->multiplier);
}

/* The volume if the counter went past its end between the readings; NULL when that can't be. */
static const struct exact *rolled_over(const struct work *work, size_t from, size_t until)
{
    const struct counter *counter = work->counter;
    const struct counter_reading *a = &work->readings[from];
    const struct counter_reading *b = &work->readings[until];

    if (!counter->size || !counter->most_per_day || exact_compare(a->count, counter->size) >= 0)
        return NULL;

    const struct exact *to_end = exact_sub(work->mem, counter->size, a->count);
    const struct exact *volume = times_multiplier(work, exact_add(work->mem, to_end, b->count));
    const struct exact *days = exact_from_ratio(work->mem, b->at - a->at, DAY_US);
    const struct exact *most = exact_mul(work->mem, counter->most_per_day, days);

    return exact_compare(volume, most) < 0 ? volume : NULL;
}

/* The readings set aside since the last good one end here: their time is not known. */
static void close_suspects(struct work *work)
{
    if (work->suspect == work->good)
        return;
    add_span(work, work->good, work->suspect, NULL, COUNTER_RESET_OR_MISREAD);
    work->good = work->suspect;
    work->before = NONE;
}

static void begin_new_meter(struct work *work, size_t next)
{
    close_suspects(work);

    bool has_last = work->readings[work->good].role == COUNTER_LAST &&
                    work->readings[next].at - work->readings[work->good].at <= DAY_US;

    if (work->readings[work->good].at < work->readings[next].at || !has_last)
        add_span(work, work->good, next, has_last ? exact_from_int(work->mem, 0) : NULL,
                 has_last ? COUNTER_REPLACED : COUNTER_NO_LAST_READING);
    work->good = work->suspect = next;
    work->before = NONE;
}

/*
 * What ran between two readings; NULL where that is more than can have run. In less than a day no
 * more can than in a day: a meter that shows whole counts shows one at once.
 */
static const struct exact *difference(const struct work *work, size_t from, size_t until)
{
    const struct counter_reading *a = &work->readings[from];
    const struct counter_reading *b = &work->readings[until];
    const struct exact *volume = times_multiplier(work, exact_sub(work->mem, b->count, a->count));
    const struct exact *most = work->counter->most_per_day;
    int64_t apart = b->at - a->at;

    if (most && apart > DAY_US)
        most = exact_mul(work->mem, most, exact_from_ratio(work->mem, apart, DAY_US));

    return most && exact_compare(volume, most) > 0 ? NULL : volume;
}

static void add_difference(struct work *work, size_t from, size_t until, enum counter_mark mark)
{
    const struct exact *volume = difference(work, from, until);

    add_span(work, from, until, volume, volume ? mark : COUNTER_RESET_OR_MISREAD);
}

/* Whether the good reading may be the wrong one: the one after the fall is not below that before.
 */
static bool may_be_high(const struct work *work)
{
    return work->before != NONE && exact_compare(work->readings[work->good + 1].count,
                                                 work->readings[work->before].count) >= 0;
}

/* The second reading below the good one, in order with the first and with the one before. */
static bool is_second_below(const struct work *work, size_t next)
{
    return work->suspect == work->good + 1 && next == work->suspect + 1 && may_be_high(work) &&
           exact_compare(work->readings[next].count, work->readings[work->suspect].count) >= 0;
}

/* Set the good reading aside in place of the one after it, which was. */
static void turn_suspicion(struct work *work, size_t next)
{
    size_t first = work->suspect;

    work->spans->count--;
    work->suspects->items[work->suspects->count - 1] = work->good;
    add_difference(work, work->before, first, COUNTER_RESET_OR_MISREAD);
    add_difference(work, first, next, COUNTER_MEASURED);
    work->before = first;
    work->good = work->suspect = next;
}

/* The count is back at or above the good reading: over those set aside, and perhaps over it too. */
static void come_back(struct work *work, size_t next)
{
    size_t from = work->good;
    bool once = work->suspect == work->good + 1;

    if (may_be_high(work)) {
        from = work->before;
        work->spans->count--;
        LIST_ADD(work->mem, work->suspects, work->good);
    }
    add_span(work, from, next, once ? difference(work, from, next) : NULL,
             COUNTER_RESET_OR_MISREAD);
    work->before = NONE;
    work->good = work->suspect = next;
}

static void go_on(struct work *work, size_t next)
{
    bool fell = exact_compare(work->readings[next].count, work->readings[work->good].count) < 0;
    const struct exact *volume = fell ? rolled_over(work, work->good, next) : NULL;

    if (fell && !volume && is_second_below(work, next)) {
        turn_suspicion(work, next);
        return;
    }
    if (fell && !volume) {
        LIST_ADD(work->mem, work->suspects, next);
        work->suspect = next;
        return;
    }
    if (!fell && work->suspect != work->good) {
        come_back(work, next);
        return;
    }
    if (fell)
        add_span(work, work->good, next, volume, COUNTER_ROLLED_OVER);
    else
        add_difference(work, work->good, next, COUNTER_MEASURED);
    work->before = fell ? NONE : work->good;
    work->good = work->suspect = next;
}

void counter_spans_of(struct arena *mem, const struct counter *counter,
                      const struct counter_reading *readings, size_t count,
                      struct counter_spans *spans, struct counter_suspects *suspects)
{
    *spans = (struct counter_spans){0};
    *suspects = (struct counter_suspects){0};

    struct work work = {.mem = mem,
                        .counter = counter,
                        .readings = readings,
                        .before = NONE,
                        .spans = spans,
                        .suspects = suspects};

    for (size_t i = 1; i < count; i++) {
        bool is_first = readings[i].role == COUNTER_FIRST;

        assert(readings[i - 1].at < readings[i].at ||
               (is_first && readings[i - 1].at == readings[i].at));
        if (is_first)
            begin_new_meter(&work, i);
        else
            go_on(&work, i);
    }
    close_suspects(&work);
}

/* The day in which an instant lies; the midnight between two belongs to the later. */
static size_t day_from(const instant *bounds, size_t day_count, instant at)
{
    size_t from = 0;
    size_t to = day_count + 1;

    while (to - from > 1) {
        size_t middle = from + (to - from) / 2;

        if (bounds[middle] <= at)
            from = middle;
        else
            to = middle;
    }

    return from;
}

/* Days [from, until). */
struct day_range {
    size_t from;
    size_t until;
};

/* By where it began: a span past midnight leaves out the day in which it ended. */
static struct day_range range_by_begin(size_t first, size_t after)
{
    return (struct day_range){first, after > first ? after : first + 1};
}

static struct day_range days_of_span(const struct counter_span *span, const instant *bounds,
                                     size_t day_count, enum counter_belongs belongs)
{
    /* The first and last day it lies in; the last instant of a span is not in it. */
    size_t first = day_from(bounds, day_count, span->from);
    size_t last = day_from(bounds, day_count, span->until - 1);
    instant head = bounds[first + 1] - span->from;
    instant tail = span->until - bounds[last];
    bool ends_at_midnight = span->until == bounds[last + 1];
    bool begins_at_midnight = span->from == bounds[first];

    if (belongs == COUNTER_BEGAN || (belongs == COUNTER_MOSTLY && head >= tail))
        return range_by_begin(first, ends_at_midnight ? last + 1 : last);
    if (last == first || begins_at_midnight)
        return (struct day_range){first, last + 1};

    return (struct day_range){first + 1, last + 1};
}

/* Add a span's part to one of its days; NULL is not known. */
static void add_to_day(struct arena *mem, struct counter_day *day, const struct exact *volume,
                       enum counter_mark mark, int64_t covered_us)
{
    if (day->marks == 0)
        day->volume = volume;
    else
        day->volume = day->volume && volume ? exact_add(mem, day->volume, volume) : NULL;
    day->marks |= 1u << mark;
    day->covered_us += covered_us;
}

/* A counter that did not move did not move on any of the days. */
static bool is_over_several(const struct counter_span *span, struct day_range range)
{
    return range.until - range.from > 1 && span->volume && exact_sign(span->volume) != 0;
}

static void add_span_to_days(struct arena *mem, struct counter_day *days,
                             const struct counter_span *span, struct day_range range,
                             bool may_share)
{
    size_t count = range.until - range.from;
    bool several = is_over_several(span, range);
    const struct exact *part = span->volume;

    if (several)
        part = may_share ? exact_div(mem, part, exact_from_int(mem, (int64_t)count)) : NULL;
    for (size_t i = range.from; i < range.until; i++) {
        add_to_day(mem, &days[i], part, span->mark, (span->until - span->from) / (int64_t)count);
        days[i].shared = days[i].shared || (several && may_share);
        days[i].not_shared = days[i].not_shared || (several && !may_share);
    }
}

struct counter_day *counter_days_of(struct arena *mem, const struct counter_spans *spans,
                                    const instant *bounds, size_t day_count,
                                    enum counter_belongs belongs, bool may_share)
{
    struct counter_day *days = ARENA_ARRAY(mem, struct counter_day, day_count);

    for (size_t i = 0; i < spans->count; i++) {
        const struct counter_span *span = &spans->items[i];

        assert(day_count > 0 && bounds[0] <= span->from && span->until <= bounds[day_count]);
        /* A new meter read at the instant of the old one's last reading, which is missing. */
        if (span->from < span->until)
            add_span_to_days(mem, days, span, days_of_span(span, bounds, day_count, belongs),
                             may_share);
    }

    return days;
}

/* Add what else belongs to the run's days: the spans next to its own, as far as they reach. */
static void add_neighbours(struct arena *mem, const struct counter_spans *spans, size_t own,
                           const instant *bounds, size_t day_count, enum counter_belongs belongs,
                           struct counter_run *run)
{
    for (size_t i = 0; i < spans->count; i++) {
        const struct counter_span *span = &spans->items[i];

        if (i == own || span->from >= span->until || span->until <= bounds[run->first] ||
            span->from >= bounds[run->after])
            continue;

        struct day_range range = days_of_span(span, bounds, day_count, belongs);

        if (range.until <= run->first || range.from >= run->after)
            continue;
        run->volume = run->volume && span->volume && !is_over_several(span, range)
                          ? exact_add(mem, run->volume, span->volume)
                          : NULL;
    }
}

struct counter_runs counter_runs_of(struct arena *mem, const struct counter_spans *spans,
                                    const instant *bounds, size_t day_count,
                                    enum counter_belongs belongs)
{
    struct counter_runs runs = {0};

    for (size_t i = 0; i < spans->count; i++) {
        const struct counter_span *span = &spans->items[i];

        if (span->from >= span->until)
            continue;

        struct day_range range = days_of_span(span, bounds, day_count, belongs);

        if (!is_over_several(span, range))
            continue;

        struct counter_run run = {.first = range.from,
                                  .after = range.until,
                                  .from = span->from,
                                  .until = span->until,
                                  .volume = span->volume};

        add_neighbours(mem, spans, i, bounds, day_count, belongs, &run);
        LIST_ADD(mem, &runs, run);
    }

    return runs;
}

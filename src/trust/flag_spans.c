#include "trust/flag_spans.h"

#include <stdlib.h>
#include <string.h>

#include "base/macro.h"

void flag_collector_begin(struct flag_collector *collector, struct arena *mem, instant from)
{
    *collector = (struct flag_collector){
        .mem = mem, .day_until = INSTANT_NONE, .last_at = INSTANT_NONE, .collects_from = from};
}

instant flag_day_start(instant at)
{
    instant into_day = at % DAY_US;

    return at - (into_day < 0 ? into_day + DAY_US : into_day);
}

instant flag_day_end(instant at)
{
    return flag_day_start(at) + DAY_US;
}

static void span_close(struct flag_collector *collector, struct flag_span *open)
{
    if (open->values > 0 && open->until >= collector->collects_from)
        LIST_ADD(collector->mem, &collector->done, *open);
    open->values = 0;
    open->continues = false;
}

/* Midnight: spans that go on do so as spans of the new day. */
static void day_cut(struct flag_collector *collector, const struct sensor_flags *flags)
{
    for (size_t i = 0; i < SENSOR_TESTS; i++) {
        struct flag_span *open = &collector->open[i];
        bool goes_on = open->values > 0 && i != SENSOR_GAP && open->flag == flags->flags[i];

        span_close(collector, open);
        open->continues = goes_on;
    }
    collector->day_until = flag_day_end(flags->at);
}

static void test_add(struct flag_collector *collector, enum sensor_test test,
                     const struct sensor_flags *flags)
{
    struct flag_span *open = &collector->open[test];
    enum trust_flag flag = (enum trust_flag)flags->flags[test];

    if (open->values > 0 && (open->flag != flag || test == SENSOR_GAP))
        span_close(collector, open);
    if (flag == FLAG_SUSPECT || flag == FLAG_FAIL) {
        if (open->values == 0) {
            open->test = test;
            open->flag = flag;
            open->from = test == SENSOR_GAP ? collector->last_at : flags->at;
            open->value = flags->value;
        }
        open->until = flags->at;
        open->values++;
    }
}

void flag_collector_add(struct flag_collector *collector, const struct sensor_flags *flags)
{
    if (flags->at >= collector->day_until)
        day_cut(collector, flags);
    for (size_t i = 0; i < SENSOR_TESTS; i++) {
        struct flag_span *open = &collector->open[i];

        if (open->values > 0 || flags->flags[i] == FLAG_SUSPECT || flags->flags[i] == FLAG_FAIL)
            test_add(collector, (enum sensor_test)i, flags);
    }
    collector->last_at = flags->at;
}

static int span_order(const void *a, const void *b)
{
    const struct flag_span *left = a;
    const struct flag_span *right = b;

    if (left->test != right->test)
        return left->test < right->test ? -1 : 1;

    return (left->from > right->from) - (left->from < right->from);
}

void flag_spans_sort(struct flag_spans *spans)
{
    if (spans->count > 1)
        qsort(spans->items, spans->count, sizeof(*spans->items), span_order);
}

void flag_collector_end(struct flag_collector *collector)
{
    for (size_t i = 0; i < SENSOR_TESTS; i++)
        span_close(collector, &collector->open[i]);
    flag_spans_sort(&collector->done);
}

static bool span_same(const struct flag_span *a, const struct flag_span *b)
{
    return a->test == b->test && a->flag == b->flag && a->from == b->from && a->until == b->until;
}

static void extent_add(const struct flag_span *span, instant *first, instant *last)
{
    if (*first == INSTANT_NONE || span->from < *first)
        *first = span->from;
    if (*last == INSTANT_NONE || span->until > *last)
        *last = span->until;
}

bool flag_spans_differ(const struct flag_spans *a, const struct flag_spans *b, instant *first,
                       instant *last)
{
    size_t i = 0;
    size_t j = 0;

    *first = INSTANT_NONE;
    *last = INSTANT_NONE;
    while (i < a->count && j < b->count) {
        const struct flag_span *one = &a->items[i];
        const struct flag_span *other = &b->items[j];
        int order = span_order(one, other);

        if (!span_same(one, other))
            extent_add(order <= 0 ? one : other, first, last);
        if (!span_same(one, other) && order == 0)
            extent_add(other, first, last);
        i += order <= 0;
        j += order >= 0;
    }
    for (; i < a->count; i++)
        extent_add(&a->items[i], first, last);
    for (; j < b->count; j++)
        extent_add(&b->items[j], first, last);

    return *first != INSTANT_NONE;
}

bool flag_span_goes_on(const struct flag_span *earlier, const struct flag_span *later)
{
    return later->continues && earlier->test == later->test && earlier->flag == later->flag &&
           flag_day_start(later->from) > earlier->until;
}

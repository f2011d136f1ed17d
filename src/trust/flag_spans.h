/*
 * Flag spans: the flags of a series as spans of values that one test flagged alike, one after the
 * other, cut at each UTC day, so that some days can be worked out again and put in the place of
 * what was there. Only suspect and fail are kept: all else is most values.
 */
#ifndef TRUST_FLAG_SPANS_H
#define TRUST_FLAG_SPANS_H

#include "trust/sensor_test.h"

/*
 * Every value of the series from `from` to `until`, both included, has this flag of this test. A
 * gap is of the time between two values, the last before it and the first after it, and belongs to
 * the day of the latter.
 */
struct flag_span {
    enum sensor_test test;
    enum trust_flag flag; /* suspect or fail */
    instant from;
    instant until;
    int64_t values;
    double value;   /* the first of them */
    bool continues; /* the value before has this flag too: the span of the day before goes on */
};

struct flag_spans {
    struct flag_span *items;
    size_t count;
    size_t capacity;
};

/* Flags in, in order of time; spans out. */
struct flag_collector {
    struct arena *mem;
    struct flag_spans done;
    struct flag_span open[SENSOR_TESTS]; /* `values` 0: none */
    instant day_until;                   /* of the day of the open spans */
    instant last_at;                     /* INSTANT_NONE: no value yet */
    instant collects_from; /* earlier values only say how what comes after them begins */
};

/* `from` is the beginning of a UTC day, or INSTANT_NONE: from the first value on. */
void flag_collector_begin(struct flag_collector *collector, struct arena *mem, instant from);

void flag_collector_add(struct flag_collector *collector, const struct sensor_flags *flags);

/* No more values: what is still open is done; then they are in order of test and time. */
void flag_collector_end(struct flag_collector *collector);

/* 00:00 UTC of the day of an instant, and of the day after. */
instant flag_day_start(instant at);
instant flag_day_end(instant at);

/*
 * Where two lists, both in order of test and time, differ: from the first value to the last that
 * only one of them has so. False: nowhere.
 */
bool flag_spans_differ(const struct flag_spans *a, const struct flag_spans *b, instant *first,
                       instant *last);

/* Whether the later span is the earlier one of the day before, going on over midnight. */
bool flag_span_goes_on(const struct flag_span *earlier, const struct flag_span *later);

/* In order of test and time. */
void flag_spans_sort(struct flag_spans *spans);

#endif

/*
 * Applies spans: when a clause with conditions applied, as stretches of time, for what is measured
 * over time: coverage asks only for them, and a time outside is counted only in them.
 *
 * The conditions are those of applies.h. Between two instants at which one of them can change
 * (a full minute of the clause's hours, an edge of a tide's hours, a new reading or one that
 * grows too old, clocks that change) the answer is the same. An answer that a row set aside leaves
 * in doubt is one that can't be told.
 */
#ifndef JUDGE_APPLIES_SPANS_H
#define JUDGE_APPLIES_SPANS_H

#include "judge/applies.h"

struct applies_span {
    instant from;
    instant until; /* without it */
    enum applying answer;
};

struct untold_span {
    instant from;
    instant until;
};

struct untold_spans {
    struct untold_span *items;
    size_t count;
    size_t capacity;
};

struct applies_spans {
    struct applies_span *items; /* in order, without gaps; neighbours differ */
    size_t count;
    size_t capacity;
    struct untold_spans untold; /* in order: a row set aside may turn the answer */
};

/* Whether the clause has conditions that change within a day. */
bool applies_within_days(const struct limit *limit);

/*
 * Whether a time outside is counted only while the outlet was open: of a clause only while
 * discharging, where there is an outlet's record. Time while it was shut is then no gap.
 */
bool applies_while_open(const struct evidence *evidence, const struct limit *limit);

struct applies_spans applies_spans_of(struct arena *mem, const struct evidence *evidence,
                                      const struct limit *limit, instant from, instant until);

/*
 * How much of from..until the clause applied; with `or_not_told` what can't be told is taken as
 * applying.
 */
int64_t applies_time_us(const struct applies_spans *spans, instant from, instant until,
                        bool or_not_told);

#endif

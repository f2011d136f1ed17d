/*
 * Statistic: one figure of many values. Every statistic is a row: its word, what more data could
 * do to it, and a pure function. The rows are in one table, in the order people are shown them;
 * each family of them has a module of its own (average, rank, percentile, lognormal, share).
 *
 * Sums, means, medians, minima and maxima are exact. What needs a logarithm is worked out in
 * double and brought to 12 significant digits.
 */
#ifndef STAT_STATISTIC_H
#define STAT_STATISTIC_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"
#include "stat/amount.h"

struct percentile_definition;

/* The values, and what some rows want to be told besides: all zero or NULL where they do not. */
struct stat_input {
    const struct amount *values; /* in any order */
    const struct amount *sorted; /* the same ascending, where somebody has them so; or NULL */
    size_t count;

    /* of a percentile */
    const struct exact *p; /* 9/10 for the 90th */
    const struct percentile_definition *definition;

    /* of a log-normal percentile */
    const struct exact *z;     /* 1.282, as the licence or its law prints it */
    bool population_deviation; /* divide by n, not by n - 1 */

    /* of a count or a share beyond a number */
    struct amount beyond;
    int beyond_side;            /* 1 above it, -1 below it */
    bool beyond_reached_counts; /* a value equal to it counts too */
};

/* What values that are still missing could do to the result. */
enum stat_more {
    STAT_MORE_EITHER, /* raise it or lower it */
    STAT_MORE_RAISES, /* raise it only: a maximum; a sum of amounts, which are never below 0 */
    STAT_MORE_LOWERS, /* lower it only: a minimum */
};

struct statistic {
    const char *word; /* "geometric mean" */
    enum stat_more more;
    bool picks; /* the result is one of the values, so that a less-than may stay one */
    bool sorts; /* it goes by the values in order */
    bool (*work_out)(struct arena *mem, const struct stat_input *input, const struct exact **out,
                     struct err *err);
};

/* By position: NULL at the end of the table. */
const struct statistic *statistic_at(size_t position);

/* NULL when there is none of that word. */
const struct statistic *statistic_find(const char *word);

/*
 * The figure. ERR_INVALID: there is no value, or the statistic has no answer for these (a
 * geometric mean with a 0 in it); the text says why, for people.
 */
MUST_CHECK bool statistic_work_out(struct arena *mem, const struct statistic *statistic,
                                   const struct stat_input *input, const struct exact **out,
                                   struct err *err);

#endif

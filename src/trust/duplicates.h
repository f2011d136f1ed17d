/*
 * Duplicates: what two results of the same water, several of one sample, and blanks say of how a
 * sample was taken and measured. What comes out is a reason to look; it changes no value, and a
 * blank is never taken off a result that a limit is held against.
 *
 * Relative percent difference and relative standard deviation: standard definitions. Every number
 * of a rule is told by whoever asks; none is built in. The rule by amount and percent is that of US
 * Geological Survey Water-Resources Investigations 01-4255 (data-quality criteria for replicates:
 * 2 times the reporting limit and 25 %); what a blank touches is common laboratory practice, from
 * memory; a limit that is no finer than the bound it is to answer: 40 CFR 122.44(i)(1)(iv), from
 * memory ("sufficiently sensitive": the minimum level at or below the limit of the permit).
 *
 * Pure and exact: a figure that lies just at its bound keeps it, in every unit.
 */
#ifndef TRUST_DUPLICATES_H
#define TRUST_DUPLICATES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/exact.h"

/* A result in the unit that it is compared in. */
struct lab_result {
    const struct exact
        *value; /* with `less_than` the limit itself; NULL: not detected, none told */
    bool less_than;
    bool more_than;                   /* beyond what the method reaches: compared with nothing */
    const struct exact *detection;    /* of the laboratory, NULL: not told */
    const struct exact *quantitation; /* the same */
};

enum quality_answer { QUALITY_PASSED, QUALITY_FAILED, QUALITY_NOT_ASSESSED };

extern const char *const quality_answer_words[]; /* "passed", "failed", "not assessed" */

struct quality_outcome {
    enum quality_answer answer;
    const struct exact *percent; /* of a difference or spread that could be worked out; else NULL */
    const char *words;           /* what was compared with what, a clause without a full stop */
};

/* --- two results ----------------------------------------------------------------------------- */

enum duplicate_rule {
    DUPLICATE_PERCENT,      /* 100 |a - b| / |mean| is at most `percent` */
    DUPLICATE_PERCENT_FROM, /* that where both are at or above `times` the limit; else, where it is
                               told, |a - b| is at most `below_times` the limit */
    DUPLICATE_AND,          /* too far when |a - b| is above `times` the limit and the percentage
                               above `percent`; or one above `times` the limit, the other below it */
};

struct duplicate_bounds {
    enum duplicate_rule rule;
    struct decimal percent;
    struct decimal times; /* of the laboratory's quantitation limit */
    bool has_below;
    struct decimal below_times;
};

/*
 * `limit` NULL: no quantitation limit is known. Beside a less-than it is failed where that can't be
 * near enough whatever it is, and not assessed where it may be.
 */
struct quality_outcome duplicate_judge(struct arena *mem, const struct duplicate_bounds *bounds,
                                       const struct lab_result *a, const struct lab_result *b,
                                       const struct exact *limit);

/* 100 |a - b| / |(a + b) / 2|; NULL: one is a less-than, or the mean is 0. */
const struct exact *duplicate_percent(struct arena *mem, const struct lab_result *a,
                                      const struct lab_result *b);

/* --- several of one sample ------------------------------------------------------------------- */

/*
 * Standard deviation (of a sample) in percent of the mean, at most `percent`. Not assessed: fewer
 * than two, a less-than among them, a mean of 0.
 */
struct quality_outcome replicates_judge(struct arena *mem, struct decimal percent,
                                        const struct lab_result *const *results, size_t count);

/* --- blanks ---------------------------------------------------------------------------------- */

enum blank_bound { BLANK_AMOUNT, BLANK_DETECTION, BLANK_QUANTITATION, BLANK_HALF_QUANTITATION };

struct blank_bounds {
    enum blank_bound kind;
    struct decimal amount; /* of BLANK_AMOUNT, in the unit of the results */
};

/* `limit`: the quantitation limit where the blank itself tells none; NULL: not known. */
struct quality_outcome blank_judge(struct arena *mem, const struct blank_bounds *bounds,
                                   const struct lab_result *blank, const struct exact *limit);

/*
 * Whether a result is too near to its blank: below `times` the blank. Common practice, from memory:
 * 5 times, 10 for what laboratories are full of. A less-than is no matter of a blank.
 */
bool blank_touches(struct arena *mem, const struct lab_result *blank,
                   const struct lab_result *result, struct decimal times);

/* --- limits ---------------------------------------------------------------------------------- */

/* What a laboratory's limit can say about a bound of a licence. */
enum coarse_answer {
    COARSE_FINE,
    COARSE_ABOVE_BOUND, /* a less-than of it can't show that a ceiling was kept */
    COARSE_ABOVE_FLOOR, /* nor whether a floor was */
    COARSE_ABOVE_SHARE, /* it could, and is above the share of the bound that the farm states */
};

/*
 * Whether a laboratory whose less-thans read `<limit` can answer a bound, both in one unit: neither
 * under a ceiling nor over a floor must the limit be above it. `share_percent` coefficient 0: none.
 */
enum coarse_answer coarse_for_bound(struct arena *mem, const struct exact *limit,
                                    const struct exact *bound, bool is_floor,
                                    struct decimal share_percent);

#endif

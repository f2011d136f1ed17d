/*
 * Duplicates: what two results of the same water, blanks, and the results of many samples say of
 * how a sample was taken and measured. What comes out is a reason to look; it changes no value, and
 * a blank is never taken off a result that a limit is held against.
 *
 * Relative percent difference and relative standard deviation: standard definitions. The rules with
 * numbers are those of US Geological Survey Water-Resources Investigations 01-4255 (criteria for
 * replicates and outliers) and of common laboratory practice (blanks: from memory); each number is
 * told by whoever asks, and the published ones stand beside.
 */
#ifndef TRUST_DUPLICATES_H
#define TRUST_DUPLICATES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/decimal.h"

/* A result: a number, or less than its limit. */
struct lab_result {
    double value;   /* with `less_than` the limit itself */
    bool less_than; /* or not detected at that limit */
};

/* Why two results can't be compared; NULL where they can. */
enum pair_answer {
    PAIR_COMPARED,
    PAIR_BOTH_ZERO,      /* nothing to be relative to: not assessed, which is not 0 % */
    PAIR_BOTH_LESS_THAN, /* two results below their limits: not assessed */
    PAIR_ONE_LESS_THAN,  /* only the rule by the reporting limit can say something */
};

extern const char *const pair_answer_words[]; /* "compared", "not assessed: both are 0", ... */

struct pair_difference {
    enum pair_answer answer;
    double rpd_percent; /* 100 |a - b| / mean; of PAIR_COMPARED alone */
    double rsd_percent; /* of two: rpd / sqrt 2 */
};

struct pair_difference pair_compare(const struct lab_result *a, const struct lab_result *b);

/* Standard deviation (of a sample) in percent of the mean. False: fewer than two, or a mean of 0.
 */
bool replicate_rsd_percent(const double *values, size_t count, double *out);

/*
 * Numbers of the rule by the reporting limit. Published: 2 and 25 (replicate_published).
 *
 * Two results are too far apart when they differ by more than `times` the limit and by more than
 * `percent` of their mean (the publication's "relative deviation", read in the stricter way); or
 * when one is above `times` the limit and the other below it.
 */
struct replicate_rule {
    double times;
    double percent;
};

extern const struct replicate_rule replicate_published;

/* `limit`: the laboratory's reporting limit, in the unit of both. */
bool replicate_too_far(const struct replicate_rule *rule, const struct lab_result *a,
                       const struct lab_result *b, double limit);

/*
 * Whether a result is too near to its blank: the blank is above its own detection limit, and the
 * result below `times` the blank. Common practice, from memory: 5 times, 10 for what laboratories
 * are full of. Results below their limit are no matter of a blank.
 */
bool blank_touches(const struct lab_result *blank, double detection,
                   const struct lab_result *result, double times);

/* Numbers of the rule for outliers. Published: 1.5, 95 and 3 (outlier_published). */
struct outlier_rule {
    double quartiles;  /* times the distance between the quartiles, above the upper one */
    double percentile; /* and above this one */
    double times;      /* and at least so many times the reporting limit */
};

extern const struct outlier_rule outlier_published;

/* What a history is cut by: its quartiles and one percentile more, by a definition of the caller's.
 */
struct outlier_history {
    double lower_quartile;
    double upper_quartile;
    double percentile_value;
};

bool outlier_is(const struct outlier_rule *rule, const struct outlier_history *history,
                double value, double limit);

/* What a laboratory's limit can say about a bound of a licence. */
enum coarse_answer {
    COARSE_FINE,
    COARSE_ABOVE_BOUND, /* a less-than of it can't show that a ceiling was kept */
    COARSE_ABOVE_FLOOR, /* a less-than of it shows neither that a floor was kept nor that it was not
                         */
};

/*
 * Whether a laboratory whose less-thans read `<limit` can answer a bound, both in one unit: neither
 * under a ceiling nor over a floor must the limit be above it.
 */
enum coarse_answer coarse_for_bound(struct decimal limit, struct decimal bound, bool is_floor);

#endif

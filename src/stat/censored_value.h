/*
 * Censored value: a laboratory result that is a number or a less-than, for the methods that work
 * with less-thans without putting a number in their place (kaplan_meier, ros).
 */
#ifndef STAT_CENSORED_VALUE_H
#define STAT_CENSORED_VALUE_H

#include <stddef.h>

#include "base/err.h"
#include "stat/amount.h"

struct censored_value {
    struct amount value; /* the number, or X of "<X" */
    bool less_than;
};

/*
 * What both methods want (D. R. Helsel, Statistics for Censored Environmental Data, 2nd ed. 2012;
 * Helsel and Cohn, Water Resources Research 24, 1988): three numbers at least, and not more than
 * 80 in 100 less-thans. Below that any figure is guesswork.
 */
enum { CENSORED_NUMBERS_LEAST = 3, CENSORED_PERCENT_MOST = 80 };

/*
 * True where the values are enough. ERR_INVALID with words for people: there is none, all are
 * less-thans, too few are numbers, too many are less-thans. `method` begins the text: "the
 * Kaplan-Meier method".
 */
MUST_CHECK bool censored_check(const struct censored_value *values, size_t count,
                               const char *method, struct err *err);

size_t censored_count_numbers(const struct censored_value *values, size_t count);

/*
 * The largest X among the less-thans: where all results are less-thans some rules report "<" and
 * this (Colorado discharge permits, footnote on fecal coliform). NULL when there is no less-than.
 */
const struct amount *censored_highest_limit(struct arena *mem, const struct censored_value *values,
                                            size_t count);

/*
 * Ascending copy; at the same X a less-than comes before the number, for it is below it or equal.
 */
struct censored_value *censored_sorted(struct arena *mem, const struct censored_value *values,
                                       size_t count);

#endif

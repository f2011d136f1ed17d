/*
 * Kaplan-Meier: what share of the water lay at or below each number found, where some results are
 * less-thans with limits of their own. No shape is assumed and no number is put in the place of
 * a less-than (E. L. Kaplan and P. Meier, JASA 53, 1958; turned round for less-thans by D. R.
 * Helsel, Nondetects and Data Analysis, 2005, and the USEPA Unified Guidance, 2009, chapter 15).
 *
 * At each number v, going down from the highest, P(X < v) = F(v) (r - m) / r, with r the results
 * at or below v (a "<v" among them), m the numbers equal to v, and F(v) = P(X < the next number
 * above), 1 at the highest. All shares are rationals, so a mean is exact.
 *
 * What is left below the smallest number has no place of its own. Two conventions exist, and they
 * differ wherever the smallest result is a less-than: a figure says which one it used.
 */
#ifndef STAT_KAPLAN_MEIER_H
#define STAT_KAPLAN_MEIER_H

#include "stat/censored_value.h"

enum kaplan_meier_rest {
    KAPLAN_MEIER_REST_AT_NUMBER, /* it is put at the smallest number */
    KAPLAN_MEIER_REST_AT_LIMIT,  /* at the smallest limit of all: Efron's restricted mean */
};

/* Words for the two, in the order of the enum: "at the smallest number", "at the smallest limit".
 */
extern const char *const kaplan_meier_rest_words[2];

struct kaplan_meier_step {
    const struct exact *value;   /* a number found; they ascend */
    const struct exact *below;   /* P(X < value) */
    const struct exact *reached; /* P(X <= value) */
    size_t numbers;              /* results equal to it that are numbers */
    size_t at_risk;              /* results at or below it */
};

struct kaplan_meier {
    struct kaplan_meier_step *steps;
    size_t count;
    size_t numbers;           /* results that are numbers */
    size_t less_thans;        /* and those that are not */
    const struct exact *rest; /* where what is left below the smallest number is put */
};

/* ERR_INVALID as censored_check(). */
MUST_CHECK bool kaplan_meier_fit(struct arena *mem, const struct censored_value *values,
                                 size_t count, enum kaplan_meier_rest rest,
                                 struct kaplan_meier *out, struct err *err);

const struct exact *kaplan_meier_mean(struct arena *mem, const struct kaplan_meier *fit);

/* Standard deviation in its population form, from the shares. To 12 significant digits. */
const struct exact *kaplan_meier_deviation(struct arena *mem, const struct kaplan_meier *fit);

/*
 * Standard error of the mean, with the factor sqrt(k / (k - 1)) for k numbers against bias. It
 * goes by the steps alone, whichever convention is used. To 12 significant digits.
 */
const struct exact *kaplan_meier_mean_error(struct arena *mem, const struct kaplan_meier *fit);

/*
 * The smallest number with F >= p; 1/2 is the median. ERR_INVALID where it lies below the smallest
 * number: the text says below which, and `*below` (NULL: not wanted) is that number.
 */
MUST_CHECK bool kaplan_meier_percentile(struct arena *mem, const struct kaplan_meier *fit,
                                        const struct exact *p, const struct exact **out,
                                        const struct exact **below, struct err *err);

/*
 * Mean and deviation (population form) of the natural logarithms; exp of the first is the geometric
 * mean. ERR_INVALID: a number or the place of the rest is 0 or below.
 */
MUST_CHECK bool kaplan_meier_logs(const struct kaplan_meier *fit, double *mean, double *deviation,
                                  struct err *err);
MUST_CHECK bool kaplan_meier_geometric_mean(struct arena *mem, const struct kaplan_meier *fit,
                                            const struct exact **out, struct err *err);

#endif

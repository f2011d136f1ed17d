/*
 * Regression on order statistics, robust form: a straight line through the logarithms of the
 * numbers against normal scores gives each less-than a value to be counted with; the numbers stay
 * as they were measured (D. R. Helsel and T. A. Cohn, Water Resources Research 24 (12), 1988,
 * 1997-2004, after Hirsch and Stedinger 1987).
 *
 * The values filled in serve the summary only. One may lie above its own limit; they are never to
 * be stored or shown as results.
 *
 * Plotting positions, for limits L(1) < ... < L(k), with 0 put first if a number lies below L(1):
 * A(j) numbers from L(j) to below L(j+1), B(j) results known to be below L(j), and
 * P(j) = P(j+1) + A(j) / (A(j) + B(j)) (1 - P(j+1)), P(k+1) = 0. The i-th of A(j) numbers stands
 * at 1 - P(j) + (P(j) - P(j+1)) (i - a) / (A(j) + 1 - 2a), the i-th of C(j) less-thans with limit
 * L(j) at (1 - P(j)) (i - a) / (C(j) + 1 - 2a).
 */
#ifndef STAT_ROS_H
#define STAT_ROS_H

#include "stat/censored_value.h"
#include "stat/percentile.h"

struct ros {
    struct amount *filled; /* ascending: numbers as measured, and values for the less-thans */
    size_t count;
    struct amount *modelled; /* those for the less-thans alone, by limit and then ascending */
    size_t modelled_count;
    double intercept; /* of the natural logarithm */
    double slope;
    double *exceedance; /* P(j) of each limit, ascending, a 0 put first included */
    size_t exceedance_count;
};

/*
 * `a` is the plotting position's own number, 0 to 1/2; there is no default, and published examples
 * use 0 (Weibull) and 0.375 (Blom). ERR_INVALID as censored_check(), for a value of 0 or below,
 * and for an `a` outside.
 */
MUST_CHECK bool ros_fit(struct arena *mem, const struct censored_value *values, size_t count,
                        double a, struct ros *out, struct err *err);

const struct exact *ros_mean(struct arena *mem, const struct ros *fit);
const struct exact *ros_deviation(struct arena *mem, const struct ros *fit); /* n - 1; 12 digits */
const struct exact *ros_geometric_mean(struct arena *mem, const struct ros *fit);
const struct exact *ros_percentile(struct arena *mem, const struct ros *fit,
                                   const struct percentile_definition *definition,
                                   const struct exact *p);

/* Mean and deviation (n - 1) of the natural logarithms of the filled values. */
void ros_logs(const struct ros *fit, double *mean, double *deviation);

#endif

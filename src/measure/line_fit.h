/*
 * Line fit: a straight line through points by least squares, with how sure its slope is.
 *
 * Ordinary least squares (Draper & Smith, Applied Regression Analysis, ch. 1, from memory): equal
 * weights, errors in y only and independent. A probe's errors hang together from one reading to the
 * next, so the true uncertainty is rather larger than the one given here.
 */
#ifndef MEASURE_LINE_FIT_H
#define MEASURE_LINE_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

enum { LINE_FIT_POINTS_MIN = 3 }; /* with two, nothing is left to judge the fit by */

struct line_point {
    double x;
    double y;
};

struct line_fit {
    size_t points;
    double slope;
    double slope_se;  /* standard error */
    double intercept; /* y at x = 0 */
    double intercept_se;
    double residual_sd; /* root of the residual sum of squares over points - 2 */
    double slope_low;   /* 95 % interval of the slope, by Student's t with points - 2 ... */
    double slope_high;  /* ... degrees of freedom */
};

/* ERR_INVALID: fewer than 3 points, a value that is no number, all points at one x. */
MUST_CHECK bool line_fit(const struct line_point *points, size_t count, struct line_fit *out,
                         struct err *err);

/*
 * Student's t below which lies `p` of its distribution: 12.706 for 0.975 and 1 degree of freedom.
 * The incomplete beta function by its continued fraction (DLMF 8.17.22, modified Lentz), turned
 * round by halving; good to 9 digits.
 *
 * ERR_INVALID: p not between 0 and 1, or degrees not above 0.
 */
MUST_CHECK bool line_fit_student_t(double p, double degrees, double *out, struct err *err);

#endif

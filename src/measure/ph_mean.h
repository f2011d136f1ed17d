/*
 * Means of pH, and the slope of a pH electrode.
 *
 * pH is a logarithm, so that there are two means: of the figures (arithmetic), and of the hydrogen
 * ions (10 to the power of minus pH), which is lower or the same. They differ by much (7, 8 and 9:
 * 8 and 7.43), so that whoever prints one names it. Neither says what pH a mixture of the waters
 * would have: that depends on their alkalinity.
 */
#ifndef MEASURE_PH_MEAN_H
#define MEASURE_PH_MEAN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

enum ph_mean {
    PH_MEAN_ARITHMETIC,
    PH_MEAN_HYDROGEN_ION,
    PH_MEAN_COUNT,
};

/* "arithmetic mean", "mean by hydrogen ions": for people. */
const char *ph_mean_name(enum ph_mean mean);

/*
 * `weights` (flows, for a flow-weighted one) may be NULL: all the same.
 *
 * ERR_INVALID: no value, a value outside 0 to 14, a negative weight, or weights that add up to 0.
 */
MUST_CHECK bool ph_mean_of(enum ph_mean mean, const double *ph, const double *weights, size_t count,
                           double *out, struct err *err);

/*
 * mV for each pH of a perfect electrode, ln(10) R T / F: 59.159 at 25 degC. It is what automatic
 * temperature compensation corrects; the water's own pH stays as it was. -5 to 100 degC.
 */
MUST_CHECK bool ph_electrode_slope_mv(double t_degc, double *out, struct err *err);

#endif

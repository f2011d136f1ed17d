/*
 * Weighted mean: sum of value times weight, over the sum of the weights. With flows as weights it
 * is the flow-weighted mean concentration, which differs from the mean of the concentrations
 * wherever a load comes with high water.
 */
#ifndef STAT_WEIGHTED_H
#define STAT_WEIGHTED_H

#include <stddef.h>

#include "base/err.h"
#include "stat/amount.h"

/*
 * Exact. `values` and `weights` go together, one to one. ERR_INVALID: there is no value, a weight
 * is below 0, or all of them are 0.
 */
MUST_CHECK bool weighted_mean(struct arena *mem, const struct amount *values,
                              const struct amount *weights, size_t count, const struct exact **out,
                              struct err *err);

#endif

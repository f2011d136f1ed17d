/*
 * Averages: rows of the statistic table that add values up.
 */
#ifndef STAT_AVERAGE_H
#define STAT_AVERAGE_H

#include "stat/statistic.h"

extern const struct statistic stat_mean;
extern const struct statistic stat_sum;

/*
 * exp of the mean of the natural logarithms. Refused where a value is 0 or below: its logarithm
 * does not exist, and a 0 would make the whole product 0.
 */
extern const struct statistic stat_geometric_mean;

#endif

/*
 * Ranks: rows of the statistic table that put values in order and pick.
 */
#ifndef STAT_RANK_H
#define STAT_RANK_H

#include "stat/statistic.h"

/* The middle value; of an even number, the mean of the two in the middle. */
extern const struct statistic stat_median;
extern const struct statistic stat_minimum;
extern const struct statistic stat_maximum;

#endif

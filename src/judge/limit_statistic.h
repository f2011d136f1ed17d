/*
 * Limit statistic: the row behind each statistic that a limit may name. Most are rows of stat/;
 * those that need the time of each reading, or the water of each day, are worked out in
 * window_figure.h, and their rows say only what more data could do to them.
 */
#ifndef JUDGE_LIMIT_STATISTIC_H
#define JUDGE_LIMIT_STATISTIC_H

#include "judge/limit.h"
#include "stat/statistic.h"

/* NULL for STATISTIC_VALUE. */
const struct statistic *limit_statistic_of(const struct limit *limit);

#endif

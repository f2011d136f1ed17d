/*
 * Share: how many values, or what part of them, lie beyond a number. "No more than 2 of 10 samples
 * above 20", "not more than 10 percent of the samples exceed 43". Which counts as beyond is told
 * by input->beyond, input->beyond_side and input->beyond_reached_counts ("exceed" or "equal or
 * exceed"). Exact.
 */
#ifndef STAT_SHARE_H
#define STAT_SHARE_H

#include "stat/statistic.h"

/* Does a value count as beyond? */
bool share_is_beyond(struct arena *mem, const struct stat_input *input, struct amount value);

/* "count beyond": more data only raises it. ERR_INVALID: beyond_side is neither 1 nor -1. */
extern const struct statistic stat_count_beyond;

/* "share beyond": percent of the values. ERR_INVALID as above. */
extern const struct statistic stat_share_beyond;

#endif

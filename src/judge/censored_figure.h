/*
 * Censored figure: a figure by a rule for less-thans that works on all results of the period and
 * puts no number in the place of one.
 *
 * - Kaplan-Meier (stat/kaplan_meier.h), with either place for what lies below the smallest number;
 *   for a mean, geometric mean, median or percentile. Its median and percentile are the smallest
 *   number that so many do not pass, as with the nearest rank; one that lies below every number is
 *   `<` the smallest.
 * - Regression on order statistics (stat/ros.h), with plotting positions (i - 0) / (n + 1); for the
 *   same.
 * - Ranked (stat/ordered_median.h), for a median: a result that is no number in the middle is shown
 *   as less than what it could not reach.
 *
 * Where the method is not valid (too few numbers, too many less-thans) the figure is blocked with
 * its reason, and is the range it could be.
 */
#ifndef JUDGE_CENSORED_FIGURE_H
#define JUDGE_CENSORED_FIGURE_H

#include "judge/figure.h"

/* Whether such a rule has something to do here. */
bool censored_figure_applies(const struct judgement *judgement, const struct figure *figures,
                             size_t count);

struct figure censored_figure(const struct judgement *judgement, const struct figure *figures,
                              size_t count);

#endif

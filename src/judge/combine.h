/*
 * Combine: one figure of several by a statistic: readings to the figure of a day, days to the
 * figure of the period, portions to one result.
 *
 * It is worked out with the least and with the most that each can be, so that a figure that its
 * rules can't settle may still show the bound broken.
 */
#ifndef JUDGE_COMBINE_H
#define JUDGE_COMBINE_H

#include "judge/figure.h"

/*
 * The figure of `count` > 0 figures. Where the statistic has no answer, its ends are not known
 * and `blocked` says why. What the statistic wants besides (a percentile's share and definition, a
 * z) is the limit's.
 */
struct figure combine_figures(const struct judgement *judgement, const struct statistic *statistic,
                              const struct figure *figures, size_t count);

/*
 * As combine_figures(), of figures that are a number each, without a qualifier and not blocked:
 * `input` holds what combine_input() gives for their values. `place` is that of the first.
 */
struct figure combine_numbers(const struct judgement *judgement, const struct statistic *statistic,
                              const struct stat_input *input, size_t place);

/* Their mean, each by its weight, which is not below 0. */
struct figure combine_weighted(const struct judgement *judgement, const struct figure *figures,
                               const struct amount *weights, size_t count);

/*
 * As combine_figures(), for a step before the statistic of the period. A rule for less-thans that
 * works on all results of the period can't see into it: a figure of numbers and less-thans is
 * blocked.
 */
struct figure combine_before(const struct judgement *judgement, const struct statistic *statistic,
                             const struct figure *figures, size_t count);

/* Where the clause says so, a figure of nothing but less-thans is `<` the largest of them. */
void combine_finish(const struct judgement *judgement, struct figure *figure);

/* Whether both ends are one number, which a range between two numbers is not. */
bool combine_is_number(const struct judgement *judgement, const struct figure *figure);

/* The limit's settings for the rows of stat/. */
struct stat_input combine_input(const struct judgement *judgement, const struct amount *values,
                                size_t count);

#endif

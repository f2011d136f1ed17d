/*
 * Weighted: the mean of figures, each by the water it goes by, where that is known only from a
 * least to a most: more water may bring the mean either way, up for a figure above it and down for
 * one below. The highest mean (lowest) is the one with the most water to every figure above it and
 * the least to every other: found by working it out again until no weight changes.
 */
#ifndef JUDGE_WEIGHTED_H
#define JUDGE_WEIGHTED_H

#include "judge/figure.h"

/* Weights, one to each figure; the same array twice where they are numbers. */
struct weights {
    const struct amount *least;
    const struct amount *most;
};

struct figure weighted_figure(const struct judgement *judgement, const struct figure *figures,
                              const struct weights *weights, size_t count, bool highest);

#endif

/*
 * Together: the daily figures of several places added, for a limit on what all of them discharge.
 *
 * A day on which one of them has a figure and another has none is a gap. Where the water of
 * several days is known together only, the figures of all places go into the sum of the period by
 * themselves, and those days have none.
 */
#ifndef JUDGE_TOGETHER_H
#define JUDGE_TOGETHER_H

#include "judge/reduce.h"

/* `parts` are of the limit's own place and of those added to it, in their order. */
struct reduced together_add(const struct judgement *judgement, const struct reduced *parts,
                            size_t count);

/* Their figures beside each other, each with its place, for a figure of the period to be made. */
struct reduced together_beside(const struct judgement *judgement, const struct reduced *parts,
                               size_t count);

#endif

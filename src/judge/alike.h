/*
 * Alike: readings that are of the same water, made one before anything else is made of them.
 *
 * Portions of one sample (the same sample number), and instruments side by side: readings without
 * a sample, of different series at one station and position, of one instant. Where the clause
 * averages them their mean counts as one result, so that a duplicate has no more weight than a
 * sample without one: grabs of 10 and, in duplicate, 20 and 30 have a mean of 17.5.
 */
#ifndef JUDGE_ALIKE_H
#define JUDGE_ALIKE_H

#include "judge/figure.h"

/* `figures` are of single readings, in order of time; they stay in order. */
void alike_merge(const struct judgement *judgement, struct figure_list *figures);

/*
 * How many of the clause's own places are a further portion of a sample that is among them. Each
 * counts in the figure where
 * the clause takes them so, and one bottle is never as many samples as it has portions.
 */
size_t alike_portions(const struct judgement *judgement, const struct figure *figures,
                      size_t count);

#endif

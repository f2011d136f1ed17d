/*
 * Alternatives: values that contradict each other of one result, of which one at most is true.
 *
 * They are never averaged and never counted as two samples. A pass takes one of them: the one that
 * brings the figure highest in the passes above, the one that brings it lowest in those below, and
 * with all that is in doubt the one nearer to the bound's side. So the figure is held as the range
 * that they leave.
 */
#ifndef JUDGE_ALTERNATIVES_H
#define JUDGE_ALTERNATIVES_H

#include "judge/pass.h"

/* Set `passed_over` of everything gathered; after prepare_fits(). */
void alternatives_settle(struct judgement *judgement);

/* Whether a pass works with what brings the figure highest: else with what brings it lowest. */
bool alternatives_takes_highest(const struct judgement *judgement, enum pass pass);

/* Whether the figure falls where a value of the place rises. */
bool alternatives_fall(const struct judgement *judgement, size_t place);

#endif

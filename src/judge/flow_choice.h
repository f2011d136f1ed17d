/*
 * Flow choice: water, where it is open which of a flow's readings count. Those that are sure do; of
 * the others, which are in doubt, any may or may not. Of each span by itself the most is told, or
 * the least, that any choice of them gives by the clause's rule (flow_curve.h): of two days another
 * choice may be the worse of each.
 *
 * A choice that leaves less of the span unknown goes before one with more water, or less.
 *
 * The choice is a way through the readings in order of time that passes over no sure one. Between
 * two that follow each other on it the flow depends on these two alone, so that the best way is
 * found from step to step. Where there are more steps than FLOW_CHOICE_STEPS_MOST, the highest, or
 * lowest, of all those readings stands for the whole span: that may be more than any choice gives.
 */
#ifndef JUDGE_FLOW_CHOICE_H
#define JUDGE_FLOW_CHOICE_H

#include "judge/flow_curve.h"

enum { FLOW_CHOICE_STEPS_MOST = 4096 };

/* As flow_curve_volume; of a curve without a choice just that. */
struct flow_part flow_choice_volume(struct arena *mem, const struct flow_curve *curve, instant from,
                                    instant until);

/* As flow_curve_at. */
const struct exact *flow_choice_at(struct arena *mem, const struct flow_curve *curve, instant from,
                                   instant until);

#endif

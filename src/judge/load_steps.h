/*
 * Load steps: what a load was made of, kept beside it so that a person can work it out again: of
 * each place the concentration with the water of its day, or of each reading with the flow while it
 * was taken. A mean weighted by that flow keeps the same. In brief nothing is kept.
 */
#ifndef JUDGE_LOAD_STEPS_H
#define JUDGE_LOAD_STEPS_H

#include "judge/figure.h"
#include "judge/water.h"

/* What one step was worked out from. */
struct load_step {
    size_t place;
    enum load_water water_used;
    instant at; /* INSTANT_NONE: no one reading's */
    const struct figure *concentration;
    const struct exact *m3;              /* in 24 hours, where it is of a flow */
    const struct evidence_reading *flow; /* NULL: no one reading's */
    const struct figure *load;           /* NULL: it makes none by itself */
};

/* In brief NULL. */
const struct verdict_loads *load_steps_of(const struct judgement *judgement,
                                          const struct load_step *step);

/* Those of one figure and then those of another; either may be NULL. */
const struct verdict_loads *load_steps_join(const struct judgement *judgement,
                                            const struct verdict_loads *first,
                                            const struct verdict_loads *then);

/* Those of several figures, one after the other. */
const struct verdict_loads *load_steps_of_all(const struct judgement *judgement,
                                              const struct figure *figures, size_t count);

/* The one reading of a flow that stood at an instant; NULL: several, or none, tell the flow then.
 */
const struct evidence_reading *load_steps_flow(const struct judgement *judgement,
                                               const struct water *water, instant from,
                                               instant until);

/* m3 in the unit that the licence states for its factor; NULL stays NULL. */
const struct exact *load_steps_water(const struct judgement *judgement, const struct exact *m3);

/* What concentration times such water is multiplied by; NULL where the limit is no load. */
const struct exact *load_steps_factor(const struct judgement *judgement);

#endif

/*
 * Bound by: bounds that are not one number. The words of a state; a printed table or a straight
 * line over another reading; the total ammonia that holds a stated un-ionised part, by pH,
 * temperature and salinity (measure/ammonia.h); oxygen as a share of saturation, by temperature
 * and salinity, in balance with air at 1 atm (measure/oxygen_solubility.h).
 *
 * Each reading is held against the bound by the readings nearest to it in time. A table and a
 * line are exact; a formula's bound is brought to 12 figures once and is that number from then
 * on. Without water of a salinity told, it is fresh.
 *
 * A reading whose bound can't be found (no other reading in time, one that is no number or in a
 * unit that can't be read, one outside the formula's range or the table) is blocked: it is never
 * within. Where another reading is in doubt, so is this one, and it is blocked too: it may be
 * outside, resting on the doubt, and never within. What rows set aside would make of the bound is
 * in bound_beside.h.
 */
#ifndef JUDGE_BOUND_BY_H
#define JUDGE_BOUND_BY_H

#include "judge/judgement.h"

/*
 * Which sides the bounds of such a clause have, with no number that means anything (of a state: a
 * ceiling of 0, which is the bound itself); bound_of_limit() where the bound is a number.
 */
struct bound bound_by_frame(const struct limit *limit);

/* `own_bound`, `others`, and what they leave in doubt or blocked, of every item gathered. */
void bound_by_fill(struct judgement *judgement);

/* 1 where the state read is outside, 0 where it is not. */
struct amount bound_by_state(const struct limit *limit, const char *state);

/* The unit in which the clause takes another reading: a formula's own, else as it states it. */
const char *bound_by_other_unit(const struct limit *limit, size_t other);

/*
 * A bound as people are shown it: that of a formula with 6 figures, which is more than the formula
 * is good for; any other with all its digits. `beside` (or NULL) is the number it is compared with:
 * there are as many figures as show on which side of it the bound lies.
 */
char *bound_by_shown(struct arena *mem, const struct limit *limit, const struct exact *bound,
                     const struct exact *beside);

/*
 * How a bound came about, for people: "the total that holds 0.02 mg/L un-ionised (both ...): sea
 * water, Khoo 1977, pH on the NBS scale". NULL where the bound goes by no other reading.
 */
char *bound_by_words(struct arena *mem, const struct limit *limit);

#endif

/*
 * Show water: what rows set aside of a meter or flow did to the water, for the verdict.
 */
#ifndef JUDGE_SHOW_WATER_H
#define JUDGE_SHOW_WATER_H

#include "judge/show.h"

/* Complete the verdict's rows set aside, which are there in order of rows. */
void show_water_asides(const struct judgement *judgement, const struct ruling *ruling,
                       struct verdict *verdict);

#endif

/*
 * Show readings: what a verdict lists of the readings and of the rows set aside, as show.h shows
 * the rest of it. `result` is the pass shown; NULL: no pass was run.
 */
#ifndef JUDGE_SHOW_READINGS_H
#define JUDGE_SHOW_READINGS_H

#include "judge/show.h"

/*
 * The readings, in brief only those beyond the bound by themselves; of two places a reading is
 * beyond where the pair it makes is.
 */
void show_readings_items(const struct judgement *judgement, const struct ruling *ruling,
                         const struct pass_result *result, struct verdict *verdict);

/* Beside each reading listed in full, those of the other place that it was held against. */
void show_readings_others(const struct judgement *judgement, const struct pass_result *result,
                          struct verdict *verdict);

/* The rows set aside that could belong here, and what came of each. */
void show_readings_asides(const struct judgement *judgement, const struct ruling *ruling,
                          struct verdict *verdict);

#endif

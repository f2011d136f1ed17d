/*
 * Day load: what left with the water of a day: concentration times water times the factor.
 *
 * - With the water of the day: the day's mean concentration times its volume.
 * - With the water while sampling: each reading times the flow while it was taken, as if that had
 *   flowed all day; their mean.
 * - With the period's mean: the day's mean concentration times the mean volume of the days judged;
 *   known only when the volume of each of them is.
 * - One load of the period (its mean concentration times its volume): days have no load of their
 *   own, and their concentrations stay as they are (window_figure.h). Days between which a meter
 * was not read are in its volume with what they have together.
 *
 * The day that still runs has no load yet.
 */
#ifndef JUDGE_DAY_LOAD_H
#define JUDGE_DAY_LOAD_H

#include "judge/reduce.h"

/*
 * From the concentrations of the place's days in `reduced`, to its figures. `readings` are those
 * behind them, in order of days.
 */
void day_load_make(const struct judgement *judgement, enum pass pass, size_t place,
                   const struct figure_list *readings, struct reduced *reduced);

/* What a volume in m3 makes of a concentration of 1, in the clause's unit; of a total, that. */
struct amount day_load_factor(const struct judgement *judgement, const struct exact *m3);

/* X of a less-than times the factor, beyond the bound: the load can't clear it. */
void day_load_block(const struct judgement *judgement, const struct figure *readings, size_t count,
                    struct amount factor, struct figure *load);

#endif

/*
 * Volume: the water of each judged day, in m3, from a meter that runs up or from a flow.
 *
 * - A meter: the differences of its readings (measure/counter.h). One that runs past midnight
 *   belongs to the day it began.
 * - A flow: as the clause lets its readings stand, over midnight too (flow_curve.h). A longer step
 *   is a gap, and the volume of a day with a gap is not known. Where no clause says how long one
 *   stands, the mean of the day's own readings, each until the next one, times the length of the
 *   day. A day has 23 or 25 hours when the clocks change. `<X` counts as X, the most it can be;
 *   with a `>X` or a not-detected the volume is not known.
 *
 * Which readings: of a limit on totals those of the series that its clause accepts, by kind,
 * method and position as any other reading. Of the flow of a load, and of what tells whether
 * anything was discharged, every series of that station and parameter: the clause's kinds and
 * methods are about the concentration. Water is of one kind: where the farm works it out
 * (`derived:`) only that counts, and readings stored at the same station and parameter do not.
 *
 * Days between which a meter was not read have no volume each, unless sharing is allowed; what
 * they have together is told at the first of them (together_m3), for a sum over the period.
 */
#ifndef JUDGE_VOLUME_H
#define JUDGE_VOLUME_H

#include "judge/water.h"

/*
 * The volume of each judged day by readings that were picked. Rows of no known time are laid on
 * every day for as long as a reading stands, which is more than they can be: up where `version` is
 * the highest that is tried, down where it is the lowest.
 */
const struct day_volume *volume_of_days(const struct judgement *judgement,
                                        const struct water *water, enum water_version version);

/* Find the versions of the water at each place of the limit, readings and volumes. */
void volume_find(struct judgement *judgement);

/*
 * What a volume of 1 m3 in a day is in a unit of volume or of flow (then: a day), for loads and
 * totals. ERR_INVALID: the unit is neither.
 */
MUST_CHECK bool volume_per_m3(struct arena *mem, const struct units *units, const char *unit,
                              const struct exact **out, struct err *err);

#endif

/*
 * Against: what a limit holds of one place less another: net of the intake, percent removal, or
 * with a credit for what the intake brought.
 *
 * - Difference: discharge - intake. It may be below 0, and is shown so.
 * - Removal: 100 (intake - discharge) / intake. Of an intake of 0 there is none.
 * - Credit: discharge - min(max(0, discharge - ceiling), intake), as 40 CFR 122.45(g)(3) (from
 *   memory): only as far as it is needed to meet the limit, and never more than the intake. Whether
 *   a credit may be taken at all is the licence's to say.
 *
 * In a mean or another figure a less-than of the intake counts by the clause's rule, as one of the
 * discharge does: 40 CFR 122.45(g) (from memory) leaves it to that rule. It never "reaches beyond
 * the bound": more in the intake is a lower net figure, and the bound is not of the intake. Without
 * a rule, and where single values are compared, it is every value from 0 to its X, so that the
 * result is a range, and cleared only when all of it keeps the bound. Without a result of the
 * intake that the clause's pairing allows there is no figure: "no paired intake sample". With the
 * credit a discharge that needs none keeps the bound without one.
 *
 * Pairing of figures: of the same day (several of the intake: their mean), or the nearest to the
 * figure's own time, or to that time less the residence time; of two as near the earlier. A daily
 * figure's time is the start of its day. Of readings, those of the intake from beside the period
 * are found too, and what is in doubt is weighed one by one (intakes.h). Figures of the period
 * (PAIR_PERIOD) are paired in window_figure.h: the removal of averages that 40 CFR 133.101(j) asks
 * for (from memory), which is not the mean of daily removals.
 */
#ifndef JUDGE_AGAINST_H
#define JUDGE_AGAINST_H

#include "judge/reduce.h"

/* One figure and its partner; NULL: there is none. The rest of it is the discharge's. */
struct figure against_pair(const struct judgement *judgement, const struct figure *discharge,
                           const struct figure *intake);

/* The figures of the limit's own place (or those added) paired with the intake's, figure by figure.
 */
struct reduced against_apply(const struct judgement *judgement, enum pass pass,
                             const struct reduced *discharge, const struct reduced *intake);

#endif

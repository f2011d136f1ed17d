/*
 * Judging: a limit over a period of evidence. Pure: the same input gives the same verdict.
 *
 * What the words mean is in DEVELOPERS.md ("How a limit is judged"); in short:
 *  - evidence in doubt can stop but never clear; the figure is worked out without it, with all
 *    of it, and with only the part beyond the bound;
 *  - an empty condition is never met: too little data is `not assessable`, and what is already
 *    beyond its bound is `outside` however little there is;
 *  - a month without discharge is `nothing due`;
 *  - figures are exact; rounding is once, at the end.
 *
 * A reading belongs to the civil day, and so to the period, in which it began: a composite or
 * another span is judged where its `at` lies. Days are those of the farm's zone, from the hour
 * that the clause lets a day start; one may have 23 or 25 hours.
 */
#ifndef JUDGE_JUDGE_H
#define JUDGE_JUDGE_H

#include "judge/discharge.h"
#include "judge/period.h"
#include "judge/verdict.h"

/*
 * Judge a span of days: what judge_period() gives, or for PERIOD_EACH_SAMPLE and PERIOD_DAY any
 * days. The verdict is of the whole span, every value, daily figure or window in it (windows.h)
 * having to keep the bound. `evidence` must hold the readings of judge_reach() (a day more at
 * each end for counters and spans), and of last samples those before it that
 * judge_samples_before() asks for; more makes no difference. The verdict lives in mem and points
 * into `evidence`.
 */
void judge_limit(struct arena *mem, const struct limit *limit, const struct evidence *evidence,
                 day_number from, day_number to, struct verdict *out);

struct shared;

/*
 * The same verdict without the readings that are not beyond the bound by themselves: those are
 * what explaining and reports list, and half of the work. `shared`: of shared_new(), for clauses
 * judged one after the other; NULL: by itself. The verdict points into it until the next clause.
 */
void judge_limit_in_brief(struct arena *mem, struct shared *shared, const struct limit *limit,
                          const struct evidence *evidence, day_number from, day_number to,
                          struct verdict *out);

#endif

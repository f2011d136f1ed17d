/*
 * Coverage: how much of the time a probe was reading. A reading stands until the next one when
 * that comes within the clause's longest step; a longer step is a gap, and none of it is
 * covered. A reading of a span covers its span. So it is by every rule of how a reading stands:
 * half-way or on a straight line a step is covered from both of its ends. Of several places a day
 * is covered as far as in the one where least of it is. Where a clause applies at some hours,
 * tides or levels only, no other time is asked for; time of which that can't be told is asked for
 * and is not covered.
 */
#ifndef JUDGE_COVERAGE_H
#define JUDGE_COVERAGE_H

#include "judge/judgement.h"

struct coverage {
    int64_t covered_us;
    int64_t asked_us; /* the time of the days judged, up to the evidence's now */
};

/*
 * Of each judged day, from readings that count; those in doubt too where `with_doubt`. Readings
 * next to the period stand into it.
 */
const struct coverage *coverage_of_days(const struct judgement *judgement, bool with_doubt);

/* Of the time from <= t < until alone, as far as it lies in the days judged. */
struct coverage coverage_between(const struct judgement *judgement, bool with_doubt, instant from,
                                 instant until);

/* Of the days [first, after) together. */
struct coverage coverage_sum(const struct coverage *days, size_t first, size_t after);

/* Percent with one decimal, cut and not rounded, so that 74.96 never reads as 75.0. */
struct decimal coverage_percent(struct coverage coverage);

/* Exact. */
bool coverage_reaches(struct coverage coverage, struct decimal percent);

#endif

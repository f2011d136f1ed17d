/*
 * Runs: water leaving from the outlet's opening to its shutting, by the outlet's record.
 *
 * A reading in doubt can say that the outlet was open, never that it was shut; one that a person
 * left out says nothing. A run without a known opening, or with a silence in it longer than a
 * state holds, is a run all the same, and can't be judged.
 */
#ifndef JUDGE_RUNS_H
#define JUDGE_RUNS_H

#include "judge/judgement.h"

/*
 * Fill the judgement's runs with those of its evidence that belong to from..to by the clause's
 * rule: where they began, ended, or mostly lie. One that is still open ends now, as far as that
 * goes. Needs the limit and the evidence only.
 */
void runs_find(struct judgement *judgement, day_number from, day_number to);

/* Widen first..last to the days that the runs take. */
void runs_days(const struct judgement *judgement, day_number *first, day_number *last);

/* When a run ends, so far: its shutting, or now. */
instant runs_end(const struct judgement *judgement, const struct judged_run *run);

#endif

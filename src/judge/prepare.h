/*
 * Prepare: everything of a judgement that does not depend on a pass: days, readings, rows set
 * aside, volumes, and how each reading stands to the bound by itself.
 */
#ifndef JUDGE_PREPARE_H
#define JUDGE_PREPARE_H

#include "base/err.h"
#include "judge/judgement.h"

/*
 * `in_full`: days outside the clause's dates are judged too. ERR_INVALID: the clause's units
 * don't go together; the days are gathered all the same.
 */
MUST_CHECK bool prepare_judgement(struct judgement *judgement, day_number from, day_number to,
                                  bool in_full, struct err *err);

/* A part of it: what follows from the limit alone. */
void prepare_frame(struct judgement *judgement);

/* Another: how each reading stands to the bound, where it is held against it alone or in doubt. */
void prepare_fits(struct judgement *judgement);

#endif

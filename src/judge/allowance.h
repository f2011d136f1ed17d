/*
 * Allowance: how many values beyond the bound a clause lets pass. A printed table is data: what
 * it gives is never worked out.
 */
#ifndef JUDGE_ALLOWANCE_H
#define JUDGE_ALLOWANCE_H

#include "judge/limit.h"

/* Of `samples`; false where the table has no row for so many, or there is no allowance. */
bool allowance_of(const struct limit_allowance *allowance, size_t samples, size_t *allowed);

/*
 * Whether more samples could not raise it, so that more beyond than it allows is final: only a
 * count.
 */
bool allowance_is_fixed(const struct limit_allowance *allowance);

#endif

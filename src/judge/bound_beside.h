/*
 * Bound beside: the bounds that rows set aside would give, where the bound goes by other readings.
 *
 * A row that may lie as near to a reading as the one its bound goes by may be the one. The reading
 * is then held against the bound by the row as well, in each unit that the row may have; the
 * strictest of them stands for all. It counts as a reading in doubt, in the place of the reading
 * with its own bound: where the rows' numbers and units can be read it may bring the verdict
 * outside, else only leave it open. Rows without a number, and more of them than COMBINATIONS_MOST
 * ways to take them, leave the bound not known. None of it can clear a reading: a bound that is no
 * stricter changes nothing.
 */
#ifndef JUDGE_BOUND_BESIDE_H
#define JUDGE_BOUND_BESIDE_H

#include "judge/bound_finder.h"

/* Ways to take rows for the others of one reading that are looked at. */
enum { COMBINATIONS_MOST = 256 };

/* Add the readings with the bounds of rows; puts everything gathered in order again. */
void bound_beside_add(struct bound_finder *finder);

/* The next of those of a reading, from NULL on; NULL: there is no more. */
struct use *bound_beside_next(const struct judgement *judgement, const struct use *use,
                              const struct use *after);

/* `passed_over` of readings in whose place one of these is taken; after alternatives_settle(). */
void bound_beside_settle(struct judgement *judgement);

#endif

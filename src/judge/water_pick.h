/*
 * Water pick: which readings of a flow, or of a meter, count in a version of the water.
 *
 * - Sound: what is not in doubt. All: with everything that is, but for what has no readable unit.
 * - Highest and lowest, of a flow: a reading in doubt is taken where it adds water between those
 *   beside it (where it takes water away), and where a gap in the flow would be left without it. So
 *   the water between two sound readings is the most (least) that any choice of those in doubt
 *   gives, and with readings that stand to the next one, or on straight lines, the flow at each
 *   instant is too. Of readings that stand half-way the split at a midnight between two sound ones
 *   may be another.
 * - Those that try take in rows without a readable unit, in each that their parameter allows.
 * - Of several readings of one instant of which some are in doubt one is true: the highest counts,
 *   or the lowest. A sound one among them makes sure that one of them is there.
 *
 * A reading in doubt that is no number, as `>X`, is in `all` alone.
 */
#ifndef JUDGE_WATER_PICK_H
#define JUDGE_WATER_PICK_H

#include "judge/water.h"

/* `highest`: with all, which of those of one instant. Rows of no known time are beside those that
 * try. */
struct water water_pick(const struct judgement *judgement, const struct water *all,
                        enum water_version version, bool highest);

#endif

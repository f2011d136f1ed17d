/*
 * Water pick: which readings of a flow, or of a meter, count in a version of the water.
 *
 * - Sound: what is not in doubt. All: with everything that is, but for what has no readable unit.
 * - Highest and lowest, of a flow: of those in doubt any may count or not, and each day, or sample,
 *   is given the most (least) water that any choice of them leaves it, flow_choice.h. Where the
 *   clause does not say how long a reading stands, so that each stands within its own day, one in
 *   doubt is taken where it adds water to those beside it (takes it away), and where nothing would
 *   be known without it.
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

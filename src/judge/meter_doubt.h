/*
 * Meter doubt: the versions of a meter's water where readings of it are in doubt.
 *
 * A count in doubt moves water between the days on either side of it, or lengthens the record, so
 * each is tried: by itself beside the sound ones, left out from among all of them, and all
 * together; of one whose unit can't be read each unit. Of more than METER_TRIED_MOST those that
 * follow each other between two sound ones are tried as one.
 *
 * - Where the limit compares each day by itself, the highest (lowest) is of each day by itself.
 * - Else it is the one trial with the most (least) water in all. Where other parts than the sum of
 *   the water count (loads of days, weeks), the trials of each day by itself are put together too:
 *   that is more than can have been, and so it only stops (WATER_TRY_HIGHEST, WATER_TRY_LOWEST).
 * - Where one in doubt makes the meter fall, so that water known without it no longer is, nothing
 * is cleared (`water_open`). The same where its time can't be read and it could be one of this
 * meter.
 */
#ifndef JUDGE_METER_DOUBT_H
#define JUDGE_METER_DOUBT_H

#include "judge/water.h"

enum { METER_TRIED_MOST = 32 };

/* Fill the place's versions, of which those of the sound and of all are there. */
void meter_doubt_find(struct judgement *judgement, const struct water *all,
                      struct judged_place *place);

#endif

/*
 * Meter: volumes of days from readings of a meter that runs up. See volume.h for the rules.
 */
#ifndef JUDGE_METER_H
#define JUDGE_METER_H

#include "judge/flow.h"

const struct day_volume *meter_volumes(const struct judgement *judgement,
                                       const struct water *water);

#endif

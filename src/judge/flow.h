/*
 * Flow: volumes of days from readings of a flow. See volume.h for the rules.
 */
#ifndef JUDGE_FLOW_H
#define JUDGE_FLOW_H

#include "judge/water.h"

const struct day_volume *flow_volumes(const struct judgement *judgement, const struct water *water);

#endif

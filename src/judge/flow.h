/*
 * Flow: volumes of days from readings of a flow. See volume.h for the rules.
 */
#ifndef JUDGE_FLOW_H
#define JUDGE_FLOW_H

#include "judge/judgement.h"

/* Readings of a meter or a flow, in order of time. */
struct water_reading {
    const struct evidence_reading *reading;
};

struct water {
    const struct limit_place *place;
    const char *parameter;
    const struct parameter *known; /* NULL: the parameter is not known */
    struct water_reading *items;
    size_t count;
    size_t capacity;
};

const struct day_volume *flow_volumes(const struct judgement *judgement, const struct water *water);

#endif

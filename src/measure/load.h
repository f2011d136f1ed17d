/*
 * Load: how much of something went out, from its concentration and the water it was in.
 *
 *     load = concentration x amount of water x factor
 *
 * The factor follows exactly from the three units, or the licence states one: many print 8.34
 * for million US gallons a day and mg/L to pounds a day, where the units give 8.345404452. The
 * licence's own factor is the one to use, with figures in the units that the licence means.
 */
#ifndef MEASURE_LOAD_H
#define MEASURE_LOAD_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/exact.h"
#include "base/macro.h"
#include "measure/unit.h"

/*
 * The exact factor for these units. Water is a volume, and then the load a mass; or a flow, and
 * then a mass in a time: m3/day x mg/L to kg/day is 1/1000.
 *
 * ERR_INVALID: the three don't go together, as mg/L x L/s to kg.
 */
MUST_CHECK bool load_factor(struct arena *mem, const struct unit *concentration,
                            const struct unit *water, const struct unit *load,
                            const struct exact **out, struct err *err);

const struct exact *load_of(struct arena *mem, const struct exact *concentration,
                            const struct exact *water, const struct exact *factor);

#endif

/*
 * Mixing trial: how much of a tank takes part in the exchange of its water, from a trial with dye
 * or salt.
 *
 * After a pulse, or after the inflow stepped from one concentration to another, a mixed volume
 * comes near the inflow as exp(-Q t / Vm). With y = ln|C - inflow|, the slope of
 * y against time is -Q / Vm, so
 *
 *     mixed share = Vm / V = (Q/V) / -slope        dead share = 1 - mixed share
 *
 * with a standard error carried over from the slope's (Levenspiel, Chemical Reaction Engineering,
 * ch. on non-ideal flow; Cholette & Cloutier 1959, both from memory). Steeper than nominal means
 * dead water. A mixed share above 1 means water by-passing the tank, or a wrong volume or flow; it
 * is given as it is, with `over_one`.
 */
#ifndef MEASURE_MIXING_TRIAL_H
#define MEASURE_MIXING_TRIAL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "measure/line_fit.h"

struct mixing_reading {
    double after_h; /* since the pulse or step */
    double value;   /* salinity, dye: one unit */
};

struct mixing_trial {
    double volume_m3;
    double flow_m3_per_h;
    double inflow; /* the value it tends to: 0 or the background for a pulse, the new inflow for
                      a step */
    const struct mixing_reading *readings; /* after the first mixing; at least 3 */
    size_t count;
};

struct mixing_result {
    double nominal_h; /* V/Q */
    double real_h;    /* -1/slope */
    double mixed_share;
    double dead_share;
    double share_se;   /* of both */
    double share_low;  /* 95 % interval of the mixed share; */
    double share_high; /* infinite where the slope may be flat */
    bool over_one;
    struct line_fit fit; /* y against hours */
};

/*
 * ERR_INVALID: volume or flow not above 0, fewer than 3 readings, a reading at the inflow's value
 * or on the other side of it from the first (its logarithm does not exist), or no exchange at all
 * (the readings don't come nearer to the inflow).
 */
MUST_CHECK bool mixing_trial_fit(struct arena *mem, const struct mixing_trial *trial,
                                 struct mixing_result *out, struct err *err);

#endif

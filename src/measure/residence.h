/*
 * Residence: how long water stays in a tank or pond, and how long a change takes to come through.
 *
 * Every time here is nominal: volume over flow, as if all the water took part. Short cuts and dead
 * corners make the real time shorter (measure/mixing_trial.h measures by how much). Volumes are
 * in m3, flows in m3/h, times in hours. Formulas: Levenspiel, Chemical Reaction Engineering (ch. on
 * residence time distribution); Metcalf & Eddy, Wastewater Engineering (both from memory).
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_RESIDENCE_H
#define MEASURE_RESIDENCE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

enum {
    RESIDENCE_TANKS_MAX = 100,   /* tanks in series */
    RESIDENCE_STATIONS_MAX = 64, /* stations of a chain */
};

/* V/Q. Without flow it is undefined, and refused in those words. */
MUST_CHECK bool residence_time(double volume_m3, double flow_m3_per_h, double *hours,
                               struct err *err);

/* 24 Q/V; no flow is 0 a day. */
MUST_CHECK bool residence_exchanges(double volume_m3, double flow_m3_per_h, double *per_day,
                                    struct err *err);

/* V/depth of a tank with upright walls. */
MUST_CHECK bool residence_plan_area(double volume_m3, double depth_m, double *m2, struct err *err);

/*
 * The share of the first water left after `turnovers` (time over the total residence time) in
 * `tanks` equal mixed tanks in series; one tank is exp(-turnovers). tanks 1 to
 * RESIDENCE_TANKS_MAX, turnovers 0 or more.
 */
MUST_CHECK bool residence_share_left(int tanks, double turnovers, double *share, struct err *err);

/* How many turnovers replace a share of the water: -ln(1 - share) in one tank. 0 <= share < 1. */
MUST_CHECK bool residence_turnovers_for(int tanks, double share, double *turnovers,
                                        struct err *err);

/* A mixed tank at c0 fed with c_in from now on: c_in + (c0 - c_in) exp(-turnovers). */
MUST_CHECK bool residence_after_step(double c0, double c_in, double turnovers, double *c,
                                     struct err *err);

/* The share left, steady, of what is lost at `per_h` times itself: 1 / (1 + per_h x hours). */
MUST_CHECK bool residence_first_order_left(double per_h, double residence_h, double *share,
                                           struct err *err);

/* One station of a chain that water passes in order. */
struct residence_station {
    const char *name; /* for messages */
    double volume_m3;
    double flow_m3_per_h; /* through it */
};

/* How a sudden change at the chain's beginning shows at its end. */
struct residence_delay {
    double nominal_h; /* sum of the residence times: the mean arrival */
    double spread_h;  /* standard deviation of arrival: square root of the sum of their squares */
    double tanks;     /* equal mixed tanks with this mean and spread: nominal^2 / spread^2 */
    double tenth_h;   /* a tenth of the change has come through ... */
    double half_h;    /* ... half of it ... */
    double nine_tenths_h;   /* ... nine tenths; by the gamma distribution of that many tanks */
};

/*
 * Each station is taken as mixed; a pipe adds little volume and is left out or put in. The three
 * arrival times are exact for equal volumes over equal flows and close otherwise.
 *
 * ERR_INVALID: no station, too many, a volume not above 0; without flow, undefined.
 */
MUST_CHECK bool residence_of_chain(const struct residence_station *stations, size_t count,
                                   struct residence_delay *out, struct err *err);

#endif

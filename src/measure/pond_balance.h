/*
 * Pond balance: a pond's water and salt over a span, and the mixing of flows.
 *
 *     change of volume = inflow + rain x area + runoff - evaporation x area - seepage - outflow
 *
 * 1 mm of rain on 1 ha is 10 m3. Volumes are in m3, depths of rain and evaporation in mm, the
 * water's surface in m2, salinity in one and the same unit (practical salinity or g/kg). Boyd &
 * Tucker, Pond Aquaculture Water Quality Management (1998); Chapra, Surface Water-Quality Modeling
 * (1997), both from memory.
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_POND_BALANCE_H
#define MEASURE_POND_BALANCE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

/* Evaporation of a pond over that of a class A pan beside it (both from memory). */
#define POND_PAN_COMMON 0.7
#define POND_PAN_BOYD 0.81 /* Boyd (1985) */

/* Everything that came and went over one span; none is negative. */
struct pond_terms {
    double area_m2;
    double inflow_m3;
    double rain_mm;
    double runoff_m3;
    double evaporation_mm;
    double seepage_m3;
    double outflow_m3;
};

/* A depth of water on an area: 25 mm on 12000 m2 is 300 m3. */
MUST_CHECK bool pond_depth_volume(double depth_mm, double area_m2, double *m3, struct err *err);

/* Positive where the pond rises. */
MUST_CHECK bool pond_change(const struct pond_terms *terms, double *m3, struct err *err);

/* ERR_INVALID also where more goes out than there was: a term must be wrong. */
MUST_CHECK bool pond_volume_after(double before_m3, const struct pond_terms *terms, double *m3,
                                  struct err *err);

/* Pan evaporation times a pan factor, above 0 and at most 1. */
MUST_CHECK bool pond_evaporation_from_pan(double pan_mm, double factor, double *mm,
                                          struct err *err);

/* Rain and evaporation carry no salt: S1 V1 / V2. */
MUST_CHECK bool pond_salinity_after(double salinity, double before_m3, double after_m3, double *out,
                                    struct err *err);

/*
 * Steady salinity of a pond that water flows through: Qin Sin / (Qin + rain - evaporation), the
 * two over its area, all in m3 a day.
 *
 * ERR_INVALID also where nothing is left to flow out: the salinity then rises without end.
 */
MUST_CHECK bool pond_salinity_steady(double inflow_m3_per_d, double inflow_salinity,
                                     double rain_m3_per_d, double evaporation_m3_per_d, double *out,
                                     struct err *err);

struct pond_flow {
    double flow;  /* all in one unit */
    double value; /* salinity, temperature, concentration: all in one unit */
};

/* Flow-weighted mean; by mass it differs by less than 0.1 %. ERR_INVALID also: no flow at all. */
MUST_CHECK bool pond_mix(const struct pond_flow *flows, size_t count, double *out, struct err *err);

#endif

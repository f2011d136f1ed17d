/*
 * Oxygen budget: dissolved oxygen of a mixed tank from its flow, respiration and reaeration. For
 * planning: what a tank really does while its pump is off is measured (measure/oxygen_fall.h).
 *
 *     V dC/dt = Q (Cin - C) + K V (Cs - C) - R
 *
 * V in m3, Q in m3/h, K (kL a) in 1/h, R in g/h, concentrations in mg/L, which is g/m3. R is held
 * constant, which errs to the safe side: real respiration falls when oxygen is low. Chapra, Surface
 * Water-Quality Modeling (1997), lectures 3 and 20 (from memory).
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_OXYGEN_BUDGET_H
#define MEASURE_OXYGEN_BUDGET_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

struct oxygen_tank {
    double volume_m3;           /* above 0 */
    double flow_m3_per_h;       /* 0 with the pump off */
    double inflow_mg_per_l;     /* of the water that comes in */
    double saturation_mg_per_l; /* at the tank's temperature, salinity and pressure */
    double reaeration_per_h;    /* K at the tank's temperature; 0 without */
    double respiration_g_per_h; /* R: all animals, and whatever else breathes */
};

/*
 * Where the concentration settles: (Q Cin + K V Cs - R) / (Q + K V). It may come out below 0: the
 * tank then runs out of oxygen. ERR_INVALID also with neither flow nor reaeration: nothing settles.
 */
MUST_CHECK bool oxygen_steady(const struct oxygen_tank *tank, double *mg_per_l, struct err *err);

/* After some hours from a start; never below 0. */
MUST_CHECK bool oxygen_after(const struct oxygen_tank *tank, double start_mg_per_l, double hours,
                             double *mg_per_l, struct err *err);

/*
 * The flow that holds a concentration: (R - K V (Cs - C)) / (Cin - C); 0 where reaeration is
 * enough. The tank's own flow is not looked at. ERR_INVALID also where the inflow has no more
 * oxygen than is wanted: no flow can hold it.
 */
MUST_CHECK bool oxygen_flow_needed(const struct oxygen_tank *tank, double hold_mg_per_l,
                                   double *m3_per_h, struct err *err);

enum oxygen_floor {
    OXYGEN_FLOOR_REACHED,    /* after `hours` */
    OXYGEN_FLOOR_NEVER,      /* by the formula it settles at `settles_mg_per_l`, at or above */
    OXYGEN_FLOOR_AT_ALREADY, /* the start is at the floor or below */
};

struct oxygen_floor_time {
    enum oxygen_floor answer;
    double hours;            /* where reached */
    bool settles;            /* false without reaeration: the line has no end ... */
    double settles_mg_per_l; /* ... else where it would settle, which may be below 0 */
};

/*
 * Time from the pump's stop to a floor. The tank's flow and inflow are not looked at: both are
 * gone. "Never" is an answer of a formula, not a promise about a tank.
 */
MUST_CHECK bool oxygen_time_to_floor(const struct oxygen_tank *tank, double start_mg_per_l,
                                     double floor_mg_per_l, struct oxygen_floor_time *out,
                                     struct err *err);

/* K at a temperature from K at 20 degC: K20 x 1.024^(T - 20) (Elmore & West 1961, from memory). */
MUST_CHECK bool oxygen_reaeration_at(double k20_per_h, double temperature_c, double *per_h,
                                     struct err *err);

#endif

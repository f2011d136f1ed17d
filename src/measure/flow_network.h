/*
 * Flow network: stations joined by flow paths that may loop, with water coming in from outside and
 * going out. Steady flows; every station is taken as mixed.
 *
 * With a_i the mean time that the water now in station i has been inside, its volume V_i, and T_i
 * all the flow into it, the steady state is
 *
 *     T_i a_i = V_i + sum over paths from j to i of q_ji a_j
 *
 * one small linear system, solved by elimination with pivoting. The share returned r_i is the part
 * of the water coming into station i that has been there before: with N the expected visits
 * (inverse of I - P, P_ij the share of i's water that goes on to j), r_i = 1 - 1/N_ii (Kemeny &
 * Snell, Finite Markov Chains, 1960, from memory).
 */
#ifndef MEASURE_FLOW_NETWORK_H
#define MEASURE_FLOW_NETWORK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

enum { FLOW_NETWORK_STATIONS_MAX = 64, FLOW_NETWORK_PATHS_MAX = 512 };

#define FLOW_OUTSIDE SIZE_MAX /* an end of a path that is not one of the stations */

struct flow_path {
    size_t from;          /* index of a station, or FLOW_OUTSIDE for an intake or rain */
    size_t to;            /* index of a station, or FLOW_OUTSIDE for a discharge or evaporation */
    double flow_m3_per_h; /* 0 for a path that is shut */
};

struct flow_station {
    const char *name;
    double volume_m3;
};

struct flow_network {
    const struct flow_station *stations;
    size_t station_count;
    const struct flow_path *paths;
    size_t path_count;
    double balance_share; /* the farm's own: how far in and out of a station may differ, 0.01 */
};

struct flow_station_state {
    double through_m3_per_h; /* all the flow into it */
    double nominal_h;        /* its own volume over that: one pass */
    double age_h;            /* mean time since the water in it came in from outside */
    double returned_share;   /* 0 to 1: of the water coming in, what has been here before */
    double passes;           /* mean number of times water that gets here is here: 1/(1 - share) */
};

struct flow_network_state {
    struct flow_station_state *stations; /* in the network's order */
    size_t station_count;
    double fresh_m3_per_h; /* in from outside, all stations */
    double total_h;        /* all volume over the fresh flow: mean time inside, loops and all */
};

/*
 * ERR_INVALID: a path to nowhere, a negative flow, a station whose in and out differ by more than
 * balance_share, without flow (its time is undefined), or one that no water from outside reaches.
 */
MUST_CHECK bool flow_network_solve(struct arena *mem, const struct flow_network *network,
                                   struct flow_network_state *out, struct err *err);

#endif

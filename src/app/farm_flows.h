/*
 * Farm flows: how much water goes through every station of the farm over a span, from what is
 * measured, and where nothing is, from the flow paths; and from that how long water stays in each
 * tank, loops and all, and how a change at an intake arrives at a discharge.
 *
 * Paths: those in force in the span and not shut all through it. A path with a returned share
 * takes that share of what goes through the station it begins at; the rest goes on by the other
 * path. Where a station has more than one other path, what goes by each is known only where the
 * next station's own flow is. A station that is not in `tanks:` has no volume, as a pipe; but one
 * of a kind that holds water (tank, pond, feed-pond, header-tank) has one that is missing, and no
 * time through it is given.
 *
 * Steady flows, mixed tanks: every time is nominal (measure/residence.h, measure/flow_network.h).
 */
#ifndef APP_FARM_FLOWS_H
#define APP_FARM_FLOWS_H

#include "app/water_flow.h"
#include "measure/flow_network.h"
#include "measure/residence.h"

struct station_flow {
    const struct farm_station *station;
    const struct farm_tank *tank; /* NULL: none told */
    double volume_m3;             /* of the tank */
    struct water_flow measured;   /* here; `known` false: not */
    bool known;
    double m3_per_h;   /* measured, or from the paths */
    const char *words; /* what it rests on, or why it is not known */
    /* In the network of all flows, where that could be worked out. */
    bool state_known;
    struct flow_station_state state;
};

struct open_path {
    size_t from; /* indexes of stations */
    size_t to;
    double returned; /* 0 to 1; 0: none */
    bool known;
    double m3_per_h;
};

/* From an intake to a discharge by the paths that return nothing. */
struct flow_chain {
    const size_t *stations; /* indexes, in order */
    size_t count;
    bool known;
    const char *why_not; /* where not known */
    struct residence_delay delay;
};

struct farm_flows {
    struct station_flow *stations; /* in the farm file's order */
    size_t station_count;
    struct open_path *paths;
    size_t path_count;
    bool loops; /* a path returns water */
    bool network_known;
    const char *why_not; /* the network: where not known */
    double fresh_m3_per_h;
    double total_h; /* all volume over the fresh flow */
    struct flow_chain *chains;
    size_t chain_count;
};

enum { FLOW_CHAINS_MOST = 32 };

MUST_CHECK bool farm_flows_of(struct place_reader *reader, instant first, instant until,
                              struct farm_flows *out, struct err *err);

/* The station of that key, or NULL. */
const struct station_flow *farm_flows_find(const struct farm_flows *flows, const char *station);

/*
 * The station water comes to `station` from, and the one it goes on to, by the paths that return
 * nothing; NULL where there is none or more than one.
 */
const struct station_flow *farm_flows_before(const struct farm_flows *flows, const char *station);
const struct station_flow *farm_flows_after(const struct farm_flows *flows, const char *station);

#endif

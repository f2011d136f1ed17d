/*
 * Feed of a month: algae, chlorophyll and turbidity from the feed pond to each tank and out of it,
 * the share of particles below the farm's size, and the feed taken up between, by the tank's flow
 * (measure/feed.h).
 *
 * Where: the feed pond's station; in, the tank's position `inlet`, else what the flow paths bring:
 * the feed pond's where all comes from there (or no path to the tank is told), the mix by their
 * flows where others come too, and not known where a flow or a reading of one of them is not. Out,
 * the tank's position `outlet`, else the station after the tank by the flow paths; where water of
 * others comes together there, no uptake is told of it. Means of the month. Sizes: parameters of
 * the farm's own called particles-below-5um and the like, in percent of all particles; between two
 * sizes a straight line.
 */
#ifndef APP_FEED_MONTH_H
#define APP_FEED_MONTH_H

#include "app/farm_flows.h"
#include "measure/feed.h"

enum feed_place { FEED_POND, FEED_INLET, FEED_OUTLET, FEED_PLACES };

/* "feed pond", "in", "out". */
const char *feed_place_name(enum feed_place place);

struct feed_mean {
    bool known;
    double value;
    size_t readings;
};

struct feed_figures {
    const char *parameter;
    const char *unit;
    bool is_cells;
    double per_m3; /* what one of the unit is in a cubic metre: cells or mg; else 0 */
    struct feed_mean means[FEED_PLACES];
    bool inlet_is_pond;        /* nothing is read at the inlet: the pond's stands in */
    const char *inlet_mix_of;  /* "header, feed": in is their mix by flow; NULL: it is not */
    const char *inlet_missing; /* why in is not known by the paths; NULL: nothing more to say */
    bool uptake_known;         /* flow, in and out are known */
    struct feed_uptake uptake;
    double taken_per_h;     /* cells or mg an hour; 0 where the unit is no amount in a volume */
    const char *taken_unit; /* NULL: a turbidity and the like, of which only the share is told */
    bool clearance_known;
    double clearance_m3_per_h; /* of a mixed tank */
};

struct feed_tank {
    const struct farm_tank *tank;
    const struct station_flow *flow;
    bool animals_known;
    double animals;
    struct feed_figures *lines;
    size_t line_count;
    const char *where[FEED_PLACES]; /* "at tank-1, position inlet": where it has to be read */
    const char *out_shared; /* "pond holds water of tank-1, tank-2 together"; NULL: its own */
    bool size_told;
    double below_um;
    struct feed_mean below[FEED_PLACES]; /* share of particles below it, 0 to 1 */
};

struct feed_month {
    struct feed_tank *items;
    size_t count;
};

/* ERR_NOT_FOUND: no tank of the farm file names a feed pond. ERR_INVALID: not begun. */
MUST_CHECK bool feed_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                day_number month, instant now, struct feed_month *out,
                                struct err *err);

#endif

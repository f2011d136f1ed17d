/*
 * Feed: algae (cells/mL, chlorophyll ug/L, turbidity) from the feed pond to the tank and out of it,
 * what was taken up between, and how large the particles are.
 *
 * Uptake is a difference of flows times concentrations, so everything that leaves the water counts:
 * eaten, settled or dead. A negative uptake (more out than in) is given as it is: resuspension, or
 * two stations swapped.
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_FEED_H
#define MEASURE_FEED_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

/* One kind of measurement at the three places, all in its own unit. */
struct feed_line {
    double flow_m3_per_h; /* through the tank, at the times of the readings */
    bool pond_known;      /* the feed pond may not be measured */
    double pond;
    double inlet; /* of the tank */
    double outlet;
};

struct feed_uptake {
    double taken;           /* flow x (inlet - outlet), in the unit's m3 an hour */
    bool share_known;       /* false where nothing came in */
    double share;           /* taken over what came in: (inlet - outlet) / inlet */
    bool on_the_way_known;  /* with a pond that is measured and not empty */
    double lost_on_the_way; /* between pond and tank: (pond - inlet) / pond */
};

/* In: cells/mL x 10^6 is cells/m3, ug/L is mg/m3; `taken` is per m3 of the unit as given. */
MUST_CHECK bool feed_uptake(const struct feed_line *line, struct feed_uptake *out, struct err *err);

/* Cells an hour from a difference of cells/mL: flow x 10^6 x (inlet - outlet). */
MUST_CHECK bool feed_cells_taken(double flow_m3_per_h, double inlet_per_ml, double outlet_per_ml,
                                 double *cells_per_h, struct err *err);

/*
 * Clearance of a tank, the water that would have to be emptied of feed: flow x ln(inlet / outlet),
 * of water passing animals one after the other (Hildreth & Crisp 1976, from memory), or
 * flow x (inlet - outlet) / outlet of a mixed tank.
 */
MUST_CHECK bool feed_clearance_mixed(double flow_m3_per_h, double inlet, double outlet,
                                     double *m3_per_h, struct err *err);
MUST_CHECK bool feed_clearance_passing(double flow_m3_per_h, double inlet, double outlet,
                                       double *m3_per_h, struct err *err);

/* A row of a counter's or a sieve's table: the share of particles (0 to 1) up to a size. */
struct feed_size {
    double um;
    double share_below;
};

/*
 * The share below a size, by a straight line between the two rows around it. Rows in order of
 * size, shares never falling.
 *
 * ERR_INVALID: fewer than two rows, rows out of order, a share outside 0 to 1, or a size outside
 * the table's: nothing is guessed beyond it.
 */
MUST_CHECK bool feed_share_below(const struct feed_size *rows, size_t count, double um,
                                 double *share, struct err *err);

/* Counts in bins, as a counter gives them: bin i holds particles from edges_um[i] to [i + 1]. */
MUST_CHECK bool feed_share_below_counts(const double *edges_um, const double *counts,
                                        size_t bin_count, double um, double *share,
                                        struct err *err);

/* The same reading at two positions of a tank. */
struct feed_positions {
    double ring;
    double centre;
};

struct feed_difference {
    double ring_less_centre;
    bool share_known; /* false where the mean is 0 */
    double share;     /* the difference over the mean of the two */
};

MUST_CHECK bool feed_position_difference(const struct feed_positions *positions,
                                         struct feed_difference *out, struct err *err);

#endif

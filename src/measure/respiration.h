/*
 * Respiration: what Pacific oysters (Crassostrea gigas) breathe and filter, for planning.
 *
 * Akashige et al. (2005), Nippon Suisan Gakkaishi 71:762-767, W the dry flesh of one animal in g:
 *
 *     oxygen      (0.072 T - 0.64) W^0.75 mg O2/h   11.6 to 26.5 degC
 *     filtration  (0.70 T - 6.6) W        L/h        9.7 to 25.7 degC; 4.9 W while spawning
 *
 * Outside those temperatures nothing is given. Feeding may double the oxygen taken up, so a figure
 * from here is a middle, not a worst case.
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_RESPIRATION_H
#define MEASURE_RESPIRATION_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

#define RESPIRATION_OXYGEN_LOWEST_C 11.6
#define RESPIRATION_OXYGEN_HIGHEST_C 26.5
#define RESPIRATION_FILTRATION_LOWEST_C 9.7
#define RESPIRATION_FILTRATION_HIGHEST_C 25.7

#define RESPIRATION_SOURCE "Akashige et al. 2005, Nippon Suisan Gakkaishi 71:762-767"

/* One animal. */
MUST_CHECK bool respiration_oxygen(double temperature_c, double dry_g, double *mg_per_h,
                                   struct err *err);
MUST_CHECK bool respiration_filtration(double temperature_c, double dry_g, bool spawning,
                                       double *l_per_h, struct err *err);

/* Animals of one size. */
struct respiration_group {
    double animals;
    double dry_g; /* of one */
};

/* All groups together; no group is 0. */
MUST_CHECK bool respiration_stock_oxygen(const struct respiration_group *groups, size_t count,
                                         double temperature_c, double *g_per_h, struct err *err);
MUST_CHECK bool respiration_stock_filtration(const struct respiration_group *groups, size_t count,
                                             double temperature_c, bool spawning, double *m3_per_h,
                                             struct err *err);

#endif

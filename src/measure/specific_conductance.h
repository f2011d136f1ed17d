/*
 * Specific conductance: what the conductivity of a water would be at 25 degC.
 *
 * Three ways, which differ by up to 9 percent in sea water near 0 degC, so that the way belongs
 * beside the figure. The straight line takes a conductivity in any unit and gives the same unit;
 * the others are in mS/cm, since they hold for some waters only.
 */
#ifndef MEASURE_SPECIFIC_CONDUCTANCE_H
#define MEASURE_SPECIFIC_CONDUCTANCE_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"
#include "measure/practical_salinity.h"

/* APHA 2510 B; other instruments use 0.020. The alpha is kept with the figure. */
#define SPECIFIC_CONDUCTANCE_ALPHA_APHA 0.0191

/*
 * Straight line: k25 = kt / (1 + alpha (t - 25)). For fresh water, 0 to 40 degC; alpha 0.01 to
 * 0.03 per degC.
 */
MUST_CHECK bool specific_conductance_linear(double conductivity, double t_degc, double alpha,
                                            double *out, struct err *err);

/*
 * Natural fresh water: ISO 7888:1985 (EN 27888), k25 = kt * f25(t), 0 to 35.9 degC and about
 * 0.06 to 1 mS/cm (from memory): never for sea or brackish water. The denominator of f25 is worked
 * out, not taken as the rounded 1.116, which misses the last digit of most of the standard's table.
 */
MUST_CHECK bool specific_conductance_iso7888_factor(double t_degc, double *out_f25,
                                                    struct err *err);
MUST_CHECK bool specific_conductance_iso7888(double ms_per_cm, double t_degc, double *out_ms_per_cm,
                                             struct err *err);

/*
 * Sea and brackish water: the conductivity, at t90 = 25 and the surface, of the practical salinity
 * that this conductivity at this temperature says. Range as in practical_salinity.h.
 */
MUST_CHECK bool specific_conductance_sea(enum salinity_form form, double ms_per_cm, double t90_degc,
                                         double dbar, double *out_ms_per_cm, struct err *err);

#endif

/*
 * Density of fresh and sea water, and what follows from it: mg/L to umol/kg and back.
 *
 * Two equations of state. At the surface they differ by at most 0.006 kg/m3 for salinities 0 to
 * 40 and 0 to 30 degC. Pressures are those of the water above, in dbar: 0 at the surface.
 */
#ifndef MEASURE_SEA_WATER_DENSITY_H
#define MEASURE_SEA_WATER_DENSITY_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

/*
 * EOS-80: Fofonoff and Millard 1983, UNESCO Technical Papers in Marine Science 44, pages 15 to 23;
 * Millero and Poisson 1981. Practical salinity 0 to 42, t68 -2 to 40 degC, 0 to 10000 dbar.
 */
MUST_CHECK bool sea_water_density_eos80(double salinity, double t68_degc, double dbar,
                                        double *out_kg_per_m3, struct err *err);

/* Density less 1000 kg/m3. */
MUST_CHECK bool sea_water_sigma_eos80(double salinity, double t68_degc, double dbar,
                                      double *out_kg_per_m3, struct err *err);

/*
 * TEOS-10: density from the Gibbs functions of water (IAPWS-09, Supplementary release on a
 * computationally efficient formulation for liquid water) and of sea salt (IAPWS-08), as in the
 * TEOS-10 manual (IOC, SCOR and IAPSO 2010), appendices G and H. Absolute salinity 0 to 42 g/kg,
 * t90 -6 to 40 degC, 0 to 10000 dbar.
 */
MUST_CHECK bool sea_water_density_teos10(double absolute_g_per_kg, double t90_degc, double dbar,
                                         double *out_kg_per_m3, struct err *err);

/*
 * Absolute salinity of sea water of reference composition: 35.16504/35 g/kg for each of practical
 * salinity (Millero and others 2008). Practical salinity 0 to 42.
 */
MUST_CHECK bool sea_water_absolute_salinity(double salinity, double *out_g_per_kg, struct err *err);

/* g/mol of O2 as the oxygen equations have it. */
#define OXYGEN_G_PER_MOL 31.9988

/* c = m * M * density * 1e-6. */
double mg_per_l_from_umol_per_kg(double umol_per_kg, double g_per_mol, double kg_per_m3);
double umol_per_kg_from_mg_per_l(double mg_per_l, double g_per_mol, double kg_per_m3);
double mg_per_l_from_umol_per_l(double umol_per_l, double g_per_mol);
double umol_per_l_from_mg_per_l(double mg_per_l, double g_per_mol);

#endif

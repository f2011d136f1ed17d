/*
 * Practical salinity from conductivity, and back: the Practical Salinity Scale 1978 (PSS-78).
 *
 * Source: Fofonoff and Millard 1983, UNESCO Technical Papers in Marine Science 44, pages 6 to 14;
 * Perkin and Lewis 1980. Salinity is a pure number: neither g/kg nor percent.
 *
 * The scale was made with temperatures of 1968 (IPTS-68). Thermometers of today read ITS-90: the
 * functions over conductivity take that (t90) and turn it themselves; those over a ratio take
 * t68. Left out, the difference moves a salinity of 35 by up to 0.004.
 *
 * Pressure is that of the water above, in dbar: 0 at the surface, about one for each metre.
 *
 * Range: salinity 2 to 42, or 0 to 42 with the extension of Hill; -2 to 35 degC (t68); 0 to
 * 10000 dbar. Outside: ERR_INVALID.
 */
#ifndef MEASURE_PRACTICAL_SALINITY_H
#define MEASURE_PRACTICAL_SALINITY_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

/* Conductivity of sea water of salinity 35 at t68 = 15 and the surface: Culkin and Smith 1980. */
#define CONDUCTIVITY_35_15_0_MS_PER_CM 42.914

/*
 * What is done below a salinity of 2. Hill, Dauphinee and Woods 1986 (IEEE Journal of Oceanic
 * Engineering OE-11, 109-112; APHA 2520 B) take a small term off, which brings pure water to 0
 * exactly.
 */
enum salinity_form {
    SALINITY_PSS78,           /* nothing: refused below 2 */
    SALINITY_HILL_PUBLISHED,  /* their term at every salinity, as they print it */
    SALINITY_HILL_CONTINUOUS, /* their value below 2 only, times a factor that makes it 2 where
                                 PSS-78 is 2, so that there is no step (as much as 0.0003). The
                                 way of the TEOS-10 library */
    SALINITY_FORM_COUNT,
};

/* "PSS-78 with Hill 1986 below 2, continuous": for people, beside every figure. */
const char *salinity_form_name(enum salinity_form form);

double temperature_t68_from_t90(double t90_degc); /* 1.00024 times */
double temperature_t90_from_t68(double t68_degc);

/*
 * Salinity from conductivity, and from the ratio R of it to that of salinity 35 at t68 = 15 and
 * the surface.
 */
MUST_CHECK bool salinity_from_conductivity(enum salinity_form form, double ms_per_cm,
                                           double t90_degc, double dbar, double *out,
                                           struct err *err);
MUST_CHECK bool salinity_from_ratio(enum salinity_form form, double ratio, double t68_degc,
                                    double dbar, double *out, struct err *err);

/* The other way, to 1e-10 and better. */
MUST_CHECK bool salinity_to_conductivity(enum salinity_form form, double salinity, double t90_degc,
                                         double dbar, double *out_ms_per_cm, struct err *err);
MUST_CHECK bool salinity_to_ratio(enum salinity_form form, double salinity, double t68_degc,
                                  double dbar, double *out, struct err *err);

/*
 * The bare equations of UNESCO 44, which know no range: the report's own tables go beyond it.
 * Never for a reading. R = Rp * Rt * rt.
 */
double pss78_rt(double t68_degc);                                  /* rt */
double pss78_rp(double ratio, double t68_degc, double dbar);       /* Rp */
double pss78_rt_ratio(double ratio, double t68_degc, double dbar); /* Rt */
double pss78_salinity(double ratio, double t68_degc, double dbar);
double pss78_ratio(double salinity, double t68_degc, double dbar);

#endif

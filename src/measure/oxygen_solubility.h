/*
 * Oxygen in water: how much of it water holds in balance with moist air, and percent saturation.
 *
 * Main source: Benson and Krause 1984 (Limnology and Oceanography 29, 620-632), as in USGS Office
 * of Water Quality Technical Memorandum 2011.03 and APHA 4500-O G. Range: 0 to 40 degC, practical
 * salinity 0 to 40 (chlorinity 0 to 22), air pressure 0.5 to 1.1 atm. Outside: ERR_INVALID.
 *
 * Air pressure is that at the place (station pressure), in atm. What a weather service tells is
 * mostly reduced to sea level, and has to be turned back first: air_pressure_at_station_kpa().
 */
#ifndef MEASURE_OXYGEN_SOLUBILITY_H
#define MEASURE_OXYGEN_SOLUBILITY_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

#define KPA_PER_ATM 101.325
#define MMHG_PER_ATM 760.0

/* Of oxygen, at 0 degC and 1 atm, by its real molar volume of 22.3916 L (an ideal gas: 1.42763). */
#define OXYGEN_MG_PER_ML 1.42905
#define OXYGEN_UMOL_PER_ML 44.6596

/* Benson and Krause 1984 at `atm`. */
MUST_CHECK bool oxygen_solubility_mg_per_l(double t_degc, double salinity, double atm, double *out,
                                           struct err *err);
MUST_CHECK bool oxygen_solubility_umol_per_l(double t_degc, double salinity, double atm,
                                             double *out, struct err *err);
MUST_CHECK bool oxygen_solubility_umol_per_kg(double t_degc, double salinity, double atm,
                                              double *out, struct err *err);

/* The form in g/kg of chlorinity, as APHA prints its table: salinity = 1.80655 chlorinity. */
MUST_CHECK bool oxygen_solubility_chlorinity_mg_per_l(double t_degc, double chlorinity, double atm,
                                                      double *out, struct err *err);

/*
 * What solubility at 1 atm is multiplied by: (P - u)(1 - theta P) / ((1 - u)(1 - theta)), with u
 * the vapour pressure in atm and theta of the temperature in degC.
 */
MUST_CHECK bool oxygen_pressure_factor(double t_degc, double atm, double *out, struct err *err);
double oxygen_vapour_pressure_atm(double t_degc); /* u */
double oxygen_theta(double t_degc);

/* What 100 percent is. */
enum oxygen_reference {
    OXYGEN_AT_LOCAL_PRESSURE, /* balance with the air at the place */
    OXYGEN_AT_SEA_LEVEL,      /* balance with air at 1 atm, whatever the pressure is */
    OXYGEN_REFERENCE_COUNT,
};

/* "of saturation at the local air pressure": for people, beside every figure. */
const char *oxygen_reference_name(enum oxygen_reference reference);

/*
 * Percent of Benson and Krause's solubility, and back. With OXYGEN_AT_SEA_LEVEL `atm` is not
 * used.
 */
MUST_CHECK bool oxygen_percent_saturation(double mg_per_l, double t_degc, double salinity,
                                          enum oxygen_reference reference, double atm, double *out,
                                          struct err *err);
MUST_CHECK bool oxygen_mg_per_l_from_percent(double percent, double t_degc, double salinity,
                                             enum oxygen_reference reference, double atm,
                                             double *out, struct err *err);

/*
 * Pressure of the standard atmosphere (ISO 2533) at an altitude of -1000 to 11000 m:
 * 101.325 (1 - 2.25577e-5 h)^5.25588 kPa. The second turns a pressure that was reduced to sea
 * level back to the place's, by the same equation.
 */
MUST_CHECK bool air_pressure_at_altitude_kpa(double altitude_m, double *out, struct err *err);
MUST_CHECK bool air_pressure_at_station_kpa(double sea_level_kpa, double altitude_m, double *out,
                                            struct err *err);

/*
 * Weiss 1970 (Deep-Sea Research 17, 721-735) at 1 atm, mL of gas at 0 degC and 1 atm in a litre:
 * t68 -1 to 40 degC, salinity 0 to 40.
 */
MUST_CHECK bool oxygen_solubility_weiss_ml_per_l(double t68_degc, double salinity, double *out,
                                                 struct err *err);

/*
 * Garcia and Gordon 1992 (Limnology and Oceanography 37, 1307-1312; erratum 38, 656) at 1 atm,
 * without the A3 Ts^2 that their equation 8 prints too many: t68 -2 to 40 degC, salinity 0 to 42.
 */
enum oxygen_fit {
    OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG, /* their first choice, and the TEOS-10 library's */
    OXYGEN_FIT_COMBINED_UMOL_PER_KG,
    OXYGEN_FIT_BENSON_KRAUSE_ML_PER_L,
    OXYGEN_FIT_COUNT,
};

MUST_CHECK bool oxygen_solubility_garcia_gordon(enum oxygen_fit fit, double t68_degc,
                                                double salinity, double *out, struct err *err);

#endif

#include "measure/oxygen_solubility.h"

#include <math.h>
#include <stddef.h>

#include "measure/valid_range.h"

static const char benson_krause[] = "Benson and Krause 1984";

static const double zero_k = 273.15;

/* ln C = a0 + a1/T + a2/T^2 + a3/T^3 + a4/T^4 - S (s0 + s1/T + s2/T^2), T in K. */
struct benson_krause_form {
    double a[5];
    double s[3];
};

static const struct benson_krause_form in_mg_per_l = {
    {-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11}, {0.017674, -10.754, 2140.7}};
static const struct benson_krause_form in_mg_per_l_by_chlorinity = {
    {-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11},
    {3.1929e-2, -1.9428e1, 3.8673e3}};
static const struct benson_krause_form in_umol_per_l = {
    {-135.90205, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11}, {0.017674, -10.754, 2140.7}};
static const struct benson_krause_form in_umol_per_kg = {
    {-135.29996, 1.572288e5, -6.637149e7, 1.243678e10, -8.621061e11}, {0.020573, -12.142, 2363.1}};

static double at_one_atm(const struct benson_krause_form *form, double t_degc, double salinity)
{
    const double *a = form->a;
    const double *s = form->s;
    const double over = 1 / (t_degc + zero_k);
    const double fresh = a[0] + over * (a[1] + over * (a[2] + over * (a[3] + over * a[4])));
    const double by_salinity = s[0] + over * (s[1] + over * s[2]);

    return exp(fresh - salinity * by_salinity);
}

double oxygen_vapour_pressure_atm(double t_degc)
{
    const double t_k = t_degc + zero_k;

    return exp(11.8571 - 3840.70 / t_k - 216961 / (t_k * t_k));
}

double oxygen_theta(double t_degc)
{
    return 0.000975 - 1.426e-5 * t_degc + 6.436e-8 * t_degc * t_degc;
}

static double pressure_factor(double t_degc, double atm)
{
    const double u = oxygen_vapour_pressure_atm(t_degc);
    const double theta = oxygen_theta(t_degc);

    return (atm - u) * (1 - theta * atm) / ((1 - u) * (1 - theta));
}

static bool water_and_air_hold(double t_degc, double atm, struct err *err)
{
    const struct valid_range ranges[] = {
        {"temperature", "degC", t_degc, 0, 40},
        {"air pressure", "atm", atm, 0.5, 1.1},
    };

    return valid_range_hold(benson_krause, ranges, ARRAY_LEN(ranges), err);
}

bool oxygen_pressure_factor(double t_degc, double atm, double *out, struct err *err)
{
    if (!water_and_air_hold(t_degc, atm, err))
        return false;
    *out = pressure_factor(t_degc, atm);

    return true;
}

static bool solubility(const struct benson_krause_form *form, double t_degc,
                       const struct valid_range *salt, double atm, double *out, struct err *err)
{
    if (!water_and_air_hold(t_degc, atm, err) || !valid_range_hold(benson_krause, salt, 1, err))
        return false;
    *out = at_one_atm(form, t_degc, salt->value) * pressure_factor(t_degc, atm);

    return true;
}

static struct valid_range salinity_range(double salinity)
{
    return (struct valid_range){"practical salinity", "", salinity, 0, 40};
}

bool oxygen_solubility_mg_per_l(double t_degc, double salinity, double atm, double *out,
                                struct err *err)
{
    const struct valid_range salt = salinity_range(salinity);

    return solubility(&in_mg_per_l, t_degc, &salt, atm, out, err);
}

bool oxygen_solubility_umol_per_l(double t_degc, double salinity, double atm, double *out,
                                  struct err *err)
{
    const struct valid_range salt = salinity_range(salinity);

    return solubility(&in_umol_per_l, t_degc, &salt, atm, out, err);
}

bool oxygen_solubility_umol_per_kg(double t_degc, double salinity, double atm, double *out,
                                   struct err *err)
{
    const struct valid_range salt = salinity_range(salinity);

    return solubility(&in_umol_per_kg, t_degc, &salt, atm, out, err);
}

bool oxygen_solubility_chlorinity_mg_per_l(double t_degc, double chlorinity, double atm,
                                           double *out, struct err *err)
{
    const struct valid_range salt = {"chlorinity", "g/kg", chlorinity, 0, 22};

    return solubility(&in_mg_per_l_by_chlorinity, t_degc, &salt, atm, out, err);
}

static const char *const reference_names[OXYGEN_REFERENCE_COUNT] = {
    [OXYGEN_AT_LOCAL_PRESSURE] = "of saturation at the local air pressure",
    [OXYGEN_AT_SEA_LEVEL] = "of saturation at sea level (1 atm)",
};

const char *oxygen_reference_name(enum oxygen_reference reference)
{
    return reference_names[reference];
}

static bool full_saturation(double t_degc, double salinity, enum oxygen_reference reference,
                            double atm, double *out, struct err *err)
{
    return oxygen_solubility_mg_per_l(t_degc, salinity, reference == OXYGEN_AT_SEA_LEVEL ? 1 : atm,
                                      out, err);
}

bool oxygen_percent_saturation(double mg_per_l, double t_degc, double salinity,
                               enum oxygen_reference reference, double atm, double *out,
                               struct err *err)
{
    const struct valid_range range = {"oxygen", "mg/L", mg_per_l, 0, INFINITY};
    double full = 0;

    if (!valid_range_hold("percent saturation", &range, 1, err) ||
        !full_saturation(t_degc, salinity, reference, atm, &full, err))
        return false;
    *out = 100 * mg_per_l / full;

    return true;
}

bool oxygen_mg_per_l_from_percent(double percent, double t_degc, double salinity,
                                  enum oxygen_reference reference, double atm, double *out,
                                  struct err *err)
{
    const struct valid_range range = {"oxygen saturation", "%", percent, 0, INFINITY};
    double full = 0;

    if (!valid_range_hold("percent saturation", &range, 1, err) ||
        !full_saturation(t_degc, salinity, reference, atm, &full, err))
        return false;
    *out = percent * full / 100;

    return true;
}

bool air_pressure_at_station_kpa(double sea_level_kpa, double altitude_m, double *out,
                                 struct err *err)
{
    const struct valid_range ranges[] = {
        {"altitude", "m", altitude_m, -1000, 11000},
        {"air pressure at sea level", "kPa", sea_level_kpa, 85, 110},
    };

    if (!valid_range_hold("the standard atmosphere", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out = sea_level_kpa * pow(1 - 2.25577e-5 * altitude_m, 5.25588);

    return true;
}

bool air_pressure_at_altitude_kpa(double altitude_m, double *out, struct err *err)
{
    return air_pressure_at_station_kpa(KPA_PER_ATM, altitude_m, out, err);
}

bool oxygen_solubility_weiss_ml_per_l(double t68_degc, double salinity, double *out,
                                      struct err *err)
{
    const struct valid_range ranges[] = {
        {"temperature", "degC", t68_degc, -1, 40},
        {"practical salinity", "", salinity, 0, 40},
    };
    const double t = (t68_degc + zero_k) / 100;

    if (!valid_range_hold("Weiss 1970", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out = exp(-173.4292 + 249.6339 / t + 143.3483 * log(t) - 21.8492 * t +
               salinity * (-0.033096 + t * (0.014259 - t * 0.0017000)));

    return true;
}

/* ln C = sum a Ts^i + S sum b Ts^i + c S^2: table 1 of Garcia and Gordon 1992. */
static const struct {
    double a[6];
    double b[4];
    double c;
} fits[OXYGEN_FIT_COUNT] = {
    [OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG] = {{5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2,
                                               3.80369},
                                              {-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3},
                                              -2.75915e-7},
    [OXYGEN_FIT_COMBINED_UMOL_PER_KG] = {{5.80818, 3.20684, 4.11890, 4.93845, 1.01567, 1.41575},
                                         {-7.01211e-3, -7.25958e-3, -7.93334e-3, -5.54491e-3},
                                         -1.32412e-7},
    [OXYGEN_FIT_BENSON_KRAUSE_ML_PER_L] = {{2.00907, 3.22014, 4.05010, 4.94457, -2.56847e-1,
                                            3.88767},
                                           {-6.24523e-3, -7.37614e-3, -1.03410e-2, -8.17083e-3},
                                           -4.88682e-7},
};

static double power_series(const double *coefficients, size_t count, double x)
{
    double sum = 0;

    for (size_t i = count; i-- > 0;)
        sum = sum * x + coefficients[i];

    return sum;
}

bool oxygen_solubility_garcia_gordon(enum oxygen_fit fit, double t68_degc, double salinity,
                                     double *out, struct err *err)
{
    const struct valid_range ranges[] = {
        {"temperature", "degC", t68_degc, -2, 40},
        {"practical salinity", "", salinity, 0, 42},
    };
    const double ts = log((298.15 - t68_degc) / (zero_k + t68_degc));

    if (!valid_range_hold("Garcia and Gordon 1992", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out = exp(power_series(fits[fit].a, ARRAY_LEN(fits[fit].a), ts) +
               salinity * power_series(fits[fit].b, ARRAY_LEN(fits[fit].b), ts) +
               salinity * salinity * fits[fit].c);

    return true;
}

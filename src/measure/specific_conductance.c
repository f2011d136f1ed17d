#include "measure/specific_conductance.h"

#include <math.h>

#include "measure/valid_range.h"

static const double at_degc = 25;

bool specific_conductance_linear(double conductivity, double t_degc, double alpha, double *out,
                                 struct err *err)
{
    const struct valid_range ranges[] = {
        {"conductivity", "", conductivity, 0, INFINITY},
        {"temperature", "degC", t_degc, 0, 40},
        {"alpha", "per degC", alpha, 0.01, 0.03},
    };

    if (!valid_range_hold("the straight line to 25 degC", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out = conductivity / (1 + alpha * (t_degc - at_degc));

    return true;
}

/* ISO 7888:1985, in the letters of the standard. */
static double iso7888_sum(double t)
{
    const double nu = -0.198058 + exp(-1.992186 + 231.17628 / (t + 86.39123));
    const double a = 0.962144;
    const double n = 0.965078;

    return (1 - a) + a * pow(nu, n);
}

bool specific_conductance_iso7888_factor(double t_degc, double *out_f25, struct err *err)
{
    const struct valid_range range = {"temperature", "degC", t_degc, 0, 35.9};

    if (!valid_range_hold("ISO 7888", &range, 1, err))
        return false;
    *out_f25 = iso7888_sum(t_degc) / iso7888_sum(at_degc);

    return true;
}

bool specific_conductance_iso7888(double ms_per_cm, double t_degc, double *out_ms_per_cm,
                                  struct err *err)
{
    const struct valid_range range = {"conductivity", "mS/cm", ms_per_cm, 0.06, 1};
    double f25 = 0;

    if (!valid_range_hold("ISO 7888, for natural fresh water,", &range, 1, err) ||
        !specific_conductance_iso7888_factor(t_degc, &f25, err))
        return false;
    *out_ms_per_cm = ms_per_cm * f25;

    return true;
}

bool specific_conductance_sea(enum salinity_form form, double ms_per_cm, double t90_degc,
                              double dbar, double *out_ms_per_cm, struct err *err)
{
    double salinity = 0;

    return salinity_from_conductivity(form, ms_per_cm, t90_degc, dbar, &salinity, err) &&
           salinity_to_conductivity(form, salinity, at_degc, 0, out_ms_per_cm, err);
}

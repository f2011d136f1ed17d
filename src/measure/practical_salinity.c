#include "measure/practical_salinity.h"

#include <math.h>

#include "measure/valid_range.h"

/* Names as in UNESCO 44, page 8; pages 6 to 7 of it say what they are. */
static const double a[] = {0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081};
static const double b[] = {0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144};
static const double k = 0.0162;
static const double c[] = {0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9};
static const double d[] = {0, 3.426e-2, 4.464e-4, 4.215e-1, -3.107e-3};
static const double e[] = {0, 2.070e-5, -6.370e-10, 3.989e-15};

/* In the order of the enum. */
static const struct {
    const char *name;
    double least; /* salinity */
} forms[SALINITY_FORM_COUNT] = {
    [SALINITY_PSS78] = {"PSS-78", 2},
    [SALINITY_HILL_PUBLISHED] = {"PSS-78 with Hill 1986 as published", 0},
    [SALINITY_HILL_CONTINUOUS] = {"PSS-78 with Hill 1986 below 2, continuous", 0},
};

const char *salinity_form_name(enum salinity_form form)
{
    return forms[form].name;
}

double temperature_t68_from_t90(double t90_degc)
{
    return 1.00024 * t90_degc;
}

double temperature_t90_from_t68(double t68_degc)
{
    return t68_degc / 1.00024;
}

double pss78_rt(double t)
{
    return c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4])));
}

/* The part of Rp that is of the pressure alone, and the one of the temperature alone. */
static double pressure_part(double p)
{
    return p * (e[1] + p * (e[2] + p * e[3]));
}

static double temperature_part(double t)
{
    return 1 + t * (d[1] + t * d[2]);
}

double pss78_rp(double ratio, double t, double p)
{
    return 1 + pressure_part(p) / (temperature_part(t) + (d[3] + d[4] * t) * ratio);
}

double pss78_rt_ratio(double ratio, double t68_degc, double dbar)
{
    return ratio / (pss78_rp(ratio, t68_degc, dbar) * pss78_rt(t68_degc));
}

static double temperature_term(double t)
{
    return (t - 15) / (1 + k * (t - 15));
}

/* The sums of the report are over powers of the square root of Rt. */
static double sum_of(const double coefficients[6], double root)
{
    double sum = 0;

    for (size_t i = 6; i-- > 0;)
        sum = sum * root + coefficients[i];

    return sum;
}

static double salinity_at_root(double root, double t)
{
    return sum_of(a, root) + temperature_term(t) * sum_of(b, root);
}

/* What Hill, Dauphinee and Woods take off. */
static double hill_term(double root, double t)
{
    double x = 400 * root * root;
    double y_root = 10 * root;
    double y = y_root * y_root;

    return a[0] / (1 + x * (1.5 + x)) + b[0] * temperature_term(t) / (1 + y_root + y + y * y_root);
}

typedef double salinity_function(double root, double t);

static double salinity_published(double root, double t)
{
    return salinity_at_root(root, t) - hill_term(root, t);
}

enum { HALVINGS = 60 };

/* The root of Rt at which a salinity is reached. The functions rise; 2 is a salinity over 100. */
static double root_of(salinity_function *of, double salinity, double t)
{
    double low = 0;
    double high = 2;

    for (int i = 0; i < HALVINGS; i++) {
        double middle = (low + high) / 2;

        if (of(middle, t) < salinity)
            low = middle;
        else
            high = middle;
    }

    return (low + high) / 2;
}

static double salinity_continuous(double root, double t)
{
    double salinity = salinity_at_root(root, t);

    if (salinity >= 2)
        return salinity;

    double at_two = salinity_published(root_of(salinity_at_root, 2, t), t);

    return salinity_published(root, t) * 2 / at_two;
}

static salinity_function *const functions[SALINITY_FORM_COUNT] = {
    [SALINITY_PSS78] = salinity_at_root,
    [SALINITY_HILL_PUBLISHED] = salinity_published,
    [SALINITY_HILL_CONTINUOUS] = salinity_continuous,
};

/* The ratio that gives this Rt under this pressure: the quadratic of UNESCO 44, page 11. */
static double ratio_of(double rt_ratio, double t, double p)
{
    double slope = d[3] + d[4] * t;
    double constant = temperature_part(t);
    double q = pss78_rt(t) * rt_ratio;
    double half = constant - slope * q;

    return (sqrt(half * half + 4 * slope * q * (constant + pressure_part(p))) - half) / (2 * slope);
}

double pss78_salinity(double ratio, double t68_degc, double dbar)
{
    return salinity_at_root(sqrt(pss78_rt_ratio(ratio, t68_degc, dbar)), t68_degc);
}

static double ratio_at(salinity_function *of, double salinity, double t68_degc, double dbar)
{
    double root = root_of(of, salinity, t68_degc);

    return ratio_of(root * root, t68_degc, dbar);
}

double pss78_ratio(double salinity, double t68_degc, double dbar)
{
    return ratio_at(salinity_at_root, salinity, t68_degc, dbar);
}

static bool salinity_holds(enum salinity_form form, double salinity, struct err *err)
{
    const struct valid_range range = {"practical salinity", "", salinity, forms[form].least, 42};

    return valid_range_hold(forms[form].name, &range, 1, err);
}

static bool water_holds(enum salinity_form form, double t_degc, double dbar, struct err *err)
{
    const struct valid_range ranges[] = {
        {"temperature", "degC", t_degc, -2, 35},
        {"pressure", "dbar", dbar, 0, 10000},
    };

    return valid_range_hold(forms[form].name, ranges, ARRAY_LEN(ranges), err);
}

static bool finish_salinity(enum salinity_form form, double ratio, double t68_degc, double dbar,
                            double *out, struct err *err)
{
    double root = sqrt(pss78_rt_ratio(ratio, t68_degc, dbar));
    double salinity = functions[form](root, t68_degc);

    if (!salinity_holds(form, salinity, err))
        return false;
    *out = salinity;

    return true;
}

bool salinity_from_ratio(enum salinity_form form, double ratio, double t68_degc, double dbar,
                         double *out, struct err *err)
{
    const struct valid_range range = {"conductivity ratio", "", ratio, 0, INFINITY};

    return water_holds(form, t68_degc, dbar, err) &&
           valid_range_hold(forms[form].name, &range, 1, err) &&
           finish_salinity(form, ratio, t68_degc, dbar, out, err);
}

enum { CONDUCTIVITY_MOST = 100 };

bool salinity_from_conductivity(enum salinity_form form, double ms_per_cm, double t90_degc,
                                double dbar, double *out, struct err *err)
{
    /*
     * No water inside the scale conducts so much: one of 42 at 35 degC and 10000 dbar has less. Far
     * beyond it the polynomials give numbers that mean nothing, not even for a message.
     */
    const struct valid_range range = {"conductivity", "mS/cm", ms_per_cm, 0, CONDUCTIVITY_MOST};

    return water_holds(form, t90_degc, dbar, err) &&
           valid_range_hold(forms[form].name, &range, 1, err) &&
           finish_salinity(form, ms_per_cm / CONDUCTIVITY_35_15_0_MS_PER_CM,
                           temperature_t68_from_t90(t90_degc), dbar, out, err);
}

bool salinity_to_ratio(enum salinity_form form, double salinity, double t68_degc, double dbar,
                       double *out, struct err *err)
{
    if (!water_holds(form, t68_degc, dbar, err) || !salinity_holds(form, salinity, err))
        return false;
    *out = ratio_at(functions[form], salinity, t68_degc, dbar);

    return true;
}

bool salinity_to_conductivity(enum salinity_form form, double salinity, double t90_degc,
                              double dbar, double *out_ms_per_cm, struct err *err)
{
    if (!water_holds(form, t90_degc, dbar, err) || !salinity_holds(form, salinity, err))
        return false;

    double t68_degc = temperature_t68_from_t90(t90_degc);

    *out_ms_per_cm =
        CONDUCTIVITY_35_15_0_MS_PER_CM * ratio_at(functions[form], salinity, t68_degc, dbar);

    return true;
}

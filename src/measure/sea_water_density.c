#include "measure/sea_water_density.h"

#include <math.h>
#include <stddef.h>

#include "measure/valid_range.h"

enum { POWERS_MOST = 8 };

/* coefficients[0] + coefficients[1] x + ... */
static double polynomial(const double *coefficients, size_t count, double x)
{
    double sum = 0;

    for (size_t i = count; i-- > 0;)
        sum = sum * x + coefficients[i];

    return sum;
}

#define POLYNOMIAL(coefficients, x) polynomial(coefficients, ARRAY_LEN(coefficients), x)

/* UNESCO 44, page 17: at the surface. Powers of the temperature. */
static double density_at_surface(double s, double t)
{
    static const double water[] = {999.842594,  6.793952e-2,  -9.095290e-3,
                                   1.001685e-4, -1.120083e-6, 6.536332e-9};
    static const double by_s[] = {8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9};
    static const double by_s_root[] = {-5.72466e-3, 1.0227e-4, -1.6546e-6};
    static const double by_s_square = 4.8314e-4;

    return POLYNOMIAL(water, t) + s * POLYNOMIAL(by_s, t) + s * sqrt(s) * POLYNOMIAL(by_s_root, t) +
           s * s * by_s_square;
}

/* UNESCO 44, page 18: the secant bulk modulus, in bar. */
static double bulk_modulus(double s, double t, double bar)
{
    static const double water[] = {19652.21, 148.4206, -2.327105, 1.360477e-2, -5.155288e-5};
    static const double by_s[] = {54.6746, -0.603459, 1.09987e-2, -6.1670e-5};
    static const double by_s_root[] = {7.944e-2, 1.6483e-2, -5.3009e-4};
    static const double by_bar[] = {3.239908, 1.43713e-3, 1.16092e-4, -5.77905e-7};
    static const double by_bar_s[] = {2.2838e-3, -1.0981e-5, -1.6078e-6};
    static const double by_bar_s_root = 1.91075e-4;
    static const double by_bar_square[] = {8.50935e-5, -6.12293e-6, 5.2787e-8};
    static const double by_bar_square_s[] = {-9.9348e-7, 2.0816e-8, 9.1697e-10};

    double at_surface =
        POLYNOMIAL(water, t) + s * POLYNOMIAL(by_s, t) + s * sqrt(s) * POLYNOMIAL(by_s_root, t);
    double first =
        POLYNOMIAL(by_bar, t) + s * POLYNOMIAL(by_bar_s, t) + s * sqrt(s) * by_bar_s_root;
    double second = POLYNOMIAL(by_bar_square, t) + s * POLYNOMIAL(by_bar_square_s, t);

    return at_surface + bar * (first + bar * second);
}

bool sea_water_density_eos80(double salinity, double t68_degc, double dbar, double *out_kg_per_m3,
                             struct err *err)
{
    const struct valid_range ranges[] = {
        {"practical salinity", "", salinity, 0, 42},
        {"temperature", "degC", t68_degc, -2, 40},
        {"pressure", "dbar", dbar, 0, 10000},
    };
    const double bar = dbar / 10;

    if (!valid_range_hold("EOS-80", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out_kg_per_m3 =
        density_at_surface(salinity, t68_degc) / (1 - bar / bulk_modulus(salinity, t68_degc, bar));

    return true;
}

bool sea_water_sigma_eos80(double salinity, double t68_degc, double dbar, double *out_kg_per_m3,
                           struct err *err)
{
    double density = 0;

    if (!sea_water_density_eos80(salinity, t68_degc, dbar, &density, err))
        return false;
    *out_kg_per_m3 = density - 1000;

    return true;
}

/*
 * The coefficients of the Gibbs functions that bear on the pressure, in J/kg, over the reduced
 * x = sqrt(salinity / 40.188617), y = temperature / 40 and z = pressure / 10000. Each row is of
 * one power of x and one of z; its numbers are of y to the power 0, 1, ... Rows of x 0 are water:
 * IAPWS-09, table 1. The others are sea salt: IAPWS-08, table 2.
 */
static const struct gibbs_row {
    int x;
    int z;
    double y[POWERS_MOST];
} gibbs[] = {
    {0,
     1,
     {100015.695367145, -270.983805184062, 1455.0364540468, -672.50778314507, 397.968445406972,
      -194.618310617595, 63.5113936641785, -9.63108119393062}},
    {0,
     2,
     {-2544.5765420363, 776.153611613101, -756.558385769359, 499.360390819152, -301.815380621876,
      120.520654902025, -22.2897317140459}},
    {0,
     3,
     {284.517778446287, -196.51255088122, 273.479662323528, -239.545330654412, 152.196371733841,
      -55.2723052340152, 8.17060541818112}},
    {0,
     4,
     {-33.3146754253611, 28.9796526294175, -55.5604063817218, 48.8012518593872, -26.3748377232802,
      6.48190668077221}},
    {0, 5, {4.20263108803084, -2.13290083518327, 4.34420671917197, -1.66307106208905}},
    {0, 6, {-0.546428511471039}},
    {2,
     1,
     {-3310.49154044839, 729.116529735046, -860.764303783977, 694.244814133268, -297.728741987187}},
    {2,
     2,
     {384.794152978599, -343.956902961561, 337.409530269367, -204.889641964903, 74.726141138756}},
    {2,
     3,
     {-96.5324320107458, 124.687671116248, -178.314556207638, 113.561697840594, -36.4872919001588}},
    {2, 4, {15.8408172766824, -31.656964386073, 44.2040358308, -11.1282734326413}},
    {2, 5, {-2.62480156590992, 7.04658803315449, -7.92001547211682}},
    {3,
     1,
     {199.459603073901, -175.292041186547, 383.058066002476, -460.319931801257, 234.565187611355}},
    {3, 2, {-52.2940909281335, 83.1923927801819, -54.1917262517112}},
    {3, 3, {68.0444942726459, -29.483064349429, 25.6398487389914}},
    {3, 4, {-3.41251932441282}},
    {4, 1, {-54.7919133532887, -22.6683558512829}},
    {4, 2, {-4.08193978912261}},
    {4, 3, {-30.1755111971161}},
    {5, 1, {36.0284195611086}},
};

static const double reference_ratio = 35.16504 / 35; /* g/kg for each of practical salinity */

/* The derivative of the Gibbs function by pressure, in m3/kg: the volume of a kilogram. */
static double specific_volume(double absolute_g_per_kg, double t, double dbar)
{
    const double x = sqrt(absolute_g_per_kg / (40 * reference_ratio));
    const double y = t / 40;
    const double z = dbar / 10000;
    const double dbar_10000_in_pa = 1e8;
    double sum = 0;

    for (size_t i = 0; i < ARRAY_LEN(gibbs); i++)
        sum += gibbs[i].z * pow(x, gibbs[i].x) * pow(z, gibbs[i].z - 1) * POLYNOMIAL(gibbs[i].y, y);

    return sum / dbar_10000_in_pa;
}

bool sea_water_density_teos10(double absolute_g_per_kg, double t90_degc, double dbar,
                              double *out_kg_per_m3, struct err *err)
{
    const struct valid_range ranges[] = {
        {"absolute salinity", "g/kg", absolute_g_per_kg, 0, 42},
        {"temperature", "degC", t90_degc, -6, 40},
        {"pressure", "dbar", dbar, 0, 10000},
    };

    if (!valid_range_hold("TEOS-10", ranges, ARRAY_LEN(ranges), err))
        return false;
    *out_kg_per_m3 = 1 / specific_volume(absolute_g_per_kg, t90_degc, dbar);

    return true;
}

bool sea_water_absolute_salinity(double salinity, double *out_g_per_kg, struct err *err)
{
    const struct valid_range range = {"practical salinity", "", salinity, 0, 42};

    if (!valid_range_hold("absolute salinity of reference composition", &range, 1, err))
        return false;
    *out_g_per_kg = salinity * reference_ratio;

    return true;
}

double mg_per_l_from_umol_per_kg(double umol_per_kg, double g_per_mol, double kg_per_m3)
{
    return umol_per_kg * g_per_mol * kg_per_m3 * 1e-6;
}

double umol_per_kg_from_mg_per_l(double mg_per_l, double g_per_mol, double kg_per_m3)
{
    return mg_per_l / (g_per_mol * kg_per_m3 * 1e-6);
}

double mg_per_l_from_umol_per_l(double umol_per_l, double g_per_mol)
{
    return umol_per_l * g_per_mol * 1e-3;
}

double umol_per_l_from_mg_per_l(double mg_per_l, double g_per_mol)
{
    return mg_per_l / (g_per_mol * 1e-3);
}

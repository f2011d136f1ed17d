#include <string.h>

#include "harness/near.h"
#include "measure/sea_water_density.h"

static const char unesco[] = "UNESCO Technical Papers in Marine Science 44 (1983)";

static double eos80(double salinity, double t68, double dbar)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(sea_water_density_eos80(salinity, t68, dbar, &out, &err), &err);

    return out;
}

static double teos10(double absolute, double t90, double dbar)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(sea_water_density_teos10(absolute, t90, dbar, &out, &err), &err);

    return out;
}

static double absolute_of(double salinity)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(sea_water_absolute_salinity(salinity, &out, &err), &err);

    return out;
}

static void densities_of_eos_80_are_those_of_the_report(void **state)
{
    static const struct {
        double salinity, t68, dbar, density;
    } rows[] = {
        /* page 19 */
        {0, 5, 0, 999.96675},
        {0, 5, 10000, 1044.12802},
        {0, 25, 0, 997.04796},
        {0, 25, 10000, 1037.90204},
        {35, 5, 0, 1027.67547},
        {35, 5, 10000, 1069.48914},
        {35, 25, 0, 1023.34306},
        {35, 25, 10000, 1062.53817},
        /* page 20: sigma 59.82037 */
        {40, 40, 10000, 1059.82037},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(eos80(rows[i].salinity, rows[i].t68, rows[i].dbar), rows[i].density, 1e-5,
                    unesco);
}

static void sigmas_at_the_surface_are_those_of_the_report(void **state)
{
    static const struct {
        double salinity, sigmas[5]; /* at t68 0, 10, 20, 30, 40 */
    } rows[] = {
        /* page 23 */
        {0, {-0.1574, -0.2979, -1.7937, -4.3489, -7.7796}},
        {30, {24.0716, 23.0511, 20.9539, 17.9854, 14.2781}},
        {35, {28.1063, 26.9524, 24.7630, 21.7286, 17.9731}},
        {40, {32.1471, 30.8624, 28.5825, 25.4829, 21.6788}},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        for (size_t k = 0; k < ARRAY_LEN(rows[i].sigmas); k++) {
            assert_done(sea_water_sigma_eos80(rows[i].salinity, (double)(10 * k), 0, &out, &err),
                        &err);
            assert_near(out, rows[i].sigmas[k], 1e-4, unesco);
        }
    }
}

static void densities_of_teos_10_are_those_of_its_library(void **state)
{
    static const struct {
        double absolute, t90, dbar, density;
    } rows[] = {
        {34.7118, 28.7856, 10, 1021.840173185531},  {34.8915, 28.4329, 50, 1022.262689926781},
        {35.0256, 22.8103, 125, 1024.427715941675}, {34.8472, 10.2600, 250, 1027.790201811623},
        {34.7366, 6.8863, 600, 1029.837714725961},  {34.7324, 4.4036, 1000, 1032.002404116447},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(teos10(rows[i].absolute, rows[i].t90, rows[i].dbar), rows[i].density, 1e-9,
                    "gsw 3.6.16 rho_t_exact, and its help page from memory");
}

static void both_equations_agree_at_the_surface(void **state)
{
    static const struct {
        double salinity, densities[7]; /* at t90 0, 5, ..., 30 */
    } rows[] = {
        {0, {999.843, 999.967, 999.702, 999.103, 998.207, 997.048, 995.649}},
        {5, {1003.915, 1003.948, 1003.612, 1002.953, 1002.010, 1000.810, 999.379}},
        {10, {1007.956, 1007.904, 1007.499, 1006.784, 1005.794, 1004.555, 1003.092}},
        {15, {1011.987, 1011.854, 1011.383, 1010.613, 1009.577, 1008.300, 1006.805}},
        {20, {1016.016, 1015.805, 1015.268, 1014.445, 1013.364, 1012.050, 1010.524}},
        {25, {1020.045, 1019.758, 1019.158, 1018.282, 1017.158, 1015.806, 1014.249}},
        {30, {1024.075, 1023.714, 1023.053, 1022.126, 1020.958, 1019.571, 1017.983}},
        {35, {1028.107, 1027.676, 1026.954, 1025.976, 1024.766, 1023.344, 1021.726}},
        {40, {1032.142, 1031.641, 1030.861, 1029.833, 1028.582, 1027.125, 1025.478}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        for (size_t k = 0; k < ARRAY_LEN(rows[i].densities); k++) {
            const double t90 = 5 * (double)k;
            const double newer = teos10(absolute_of(rows[i].salinity), t90, 0);

            assert_near(newer, rows[i].densities[k], 0.001, "gsw 3.6.16 rho_t_exact");
            assert_near(eos80(rows[i].salinity, 1.00024 * t90, 0), newer, 0.006,
                        "the difference of EOS-80 and TEOS-10 at the surface");
        }
    }
}

static void umol_per_kg_become_mg_per_l_by_the_density(void **state)
{
    static const struct {
        double salinity, t, mg_per_l, umol_per_kg;
    } rows[] = {
        /* of 250 umol/kg of oxygen; of 1 mg/L */
        {0, 20, 7.98536, 31.3073},  {15, 15, 8.08460, 30.9230}, {30, 10, 8.18412, 30.5470},
        {35, 15, 8.20750, 30.4599}, {35, 25, 8.18644, 30.5383},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double density = teos10(absolute_of(rows[i].salinity), rows[i].t, 0);

        assert_near(mg_per_l_from_umol_per_kg(250, OXYGEN_G_PER_MOL, density), rows[i].mg_per_l,
                    1e-4, "gsw 3.6.16 rho_t_exact");
        assert_near(umol_per_kg_from_mg_per_l(1, OXYGEN_G_PER_MOL, density), rows[i].umol_per_kg,
                    1e-4, "gsw 3.6.16 rho_t_exact");
    }
    assert_near(umol_per_l_from_mg_per_l(1, OXYGEN_G_PER_MOL), 31.2512, 5e-5, "the mass of O2");
    assert_near(mg_per_l_from_umol_per_l(31.2512, OXYGEN_G_PER_MOL), 1, 5e-6, "the mass of O2");
}

static void what_is_beyond_the_equations_is_refused_and_told(void **state)
{
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(sea_water_density_eos80(42.1, 20, 0, &out, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "the practical salinity is 42.1, and EOS-80 holds"));
    assert_fails(sea_water_density_eos80(-1, 20, 0, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_density_eos80(35, 40.1, 0, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_density_eos80(35, -2.1, 0, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_sigma_eos80(35, 20, 10001, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_density_teos10(43, 20, 0, &out, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "the absolute salinity is 43 g/kg"));
    assert_fails(sea_water_density_teos10(35, -6.1, 0, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_density_teos10(35, 20, -1, &out, &err), ERR_INVALID, &err);
    assert_fails(sea_water_absolute_salinity(-0.1, &out, &err), ERR_INVALID, &err);
    assert_true(out == -99);
    assert_true(eos80(42, -2, 10000) > 1000);
    assert_true(teos10(42, -6, 10000) > 1000);
    assert_true(teos10(0, 40, 0) < 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(densities_of_eos_80_are_those_of_the_report),
        cmocka_unit_test(sigmas_at_the_surface_are_those_of_the_report),
        cmocka_unit_test(densities_of_teos_10_are_those_of_its_library),
        cmocka_unit_test(both_equations_agree_at_the_surface),
        cmocka_unit_test(umol_per_kg_become_mg_per_l_by_the_density),
        cmocka_unit_test(what_is_beyond_the_equations_is_refused_and_told),
    };

    return cmocka_run_group_tests_name("measure/sea_water_density", tests, NULL, NULL);
}

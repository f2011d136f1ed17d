#include <string.h>

#include "harness/near.h"
#include "measure/oxygen_solubility.h"
#include "measure/practical_salinity.h"
#include "measure/sea_water_density.h"

static double mg_per_l(double t, double salinity, double atm)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(oxygen_solubility_mg_per_l(t, salinity, atm, &out, &err), &err);

    return out;
}

static void fresh_water_holds_what_textbooks_print(void **state)
{
    static const double chapra[] = {14.621, 11.843, 9.870, 8.418, 7.305, 6.413};
    static const double en_25814[] = {14.6, 14.2, 13.8, 13.5, 13.1, 12.8, 12.5, 12.2,
                                      11.8, 11.6, 11.3, 11.0, 10.8, 10.5, 10.3, 10.1,
                                      9.87, 9.66, 9.47, 9.28, 9.09, 8.91, 8.74, 8.58,
                                      8.42, 8.26, 8.11, 7.97, 7.83, 7.69, 7.56};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(chapra); i++)
        assert_near(mg_per_l(8 * (double)i, 0, 1), chapra[i], 0.0006,
                    "a series in Chapra, Applied Numerical Methods, from memory");
    for (size_t t = 0; t < ARRAY_LEN(en_25814); t++)
        assert_near(mg_per_l((double)t, 0, 1), en_25814[t], t < 16 ? 0.07 : 0.0075,
                    "the table of EN 25814:1992, in instrument handbooks");
}

static void saline_water_holds_less(void **state)
{
    static const struct {
        double t, mg_per_l[8]; /* at salinity 0, 5, ..., 35 */
    } rows[] = {
        {0, {14.621, 14.118, 13.633, 13.164, 12.712, 12.275, 11.853, 11.446}},
        {5, {12.771, 12.351, 11.946, 11.553, 11.174, 10.807, 10.452, 10.108}},
        {10, {11.288, 10.933, 10.589, 10.255, 9.933, 9.620, 9.317, 9.024}},
        {15, {10.084, 9.779, 9.484, 9.197, 8.919, 8.650, 8.389, 8.135}},
        {20, {9.092, 8.828, 8.572, 8.322, 8.080, 7.846, 7.617, 7.396}},
        {25, {8.263, 8.032, 7.807, 7.588, 7.375, 7.168, 6.967, 6.772}},
        {30, {7.559, 7.354, 7.155, 6.961, 6.772, 6.589, 6.410, 6.237}},
        {35, {6.949, 6.767, 6.589, 6.416, 6.248, 6.084, 5.924, 5.769}},
        {40, {6.413, 6.249, 6.090, 5.935, 5.784, 5.636, 5.493, 5.353}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (size_t k = 0; k < ARRAY_LEN(rows[i].mg_per_l); k++)
            assert_near(mg_per_l(rows[i].t, 5 * (double)k, 1), rows[i].mg_per_l[k], 0.0006,
                        "USGS OWQ TM 2011.03, its equation worked out");
}

static void the_form_by_chlorinity_is_near_the_printed_table(void **state)
{
    /* at chlorinity 0, 5, ..., 25; the last is beyond our range, salinity 45 */
    static const double printed[][5] = {
        {14.621, 13.728, 12.888, 12.097, 11.355}, {14.216, 13.356, 12.545, 11.783, 11.066},
        {13.829, 13.000, 12.218, 11.483, 10.790}, {13.460, 12.660, 11.906, 11.195, 10.526},
        {13.107, 12.335, 11.607, 10.920, 10.273}, {12.770, 12.024, 11.320, 10.656, 10.031},
    };
    double by_chlorinity = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t t = 0; t < ARRAY_LEN(printed); t++) {
        for (size_t k = 0; k < ARRAY_LEN(printed[t]); k++) {
            const double chlorinity = 5 * (double)k;

            assert_done(oxygen_solubility_chlorinity_mg_per_l((double)t, chlorinity, 1,
                                                              &by_chlorinity, &err),
                        &err);
            assert_near(by_chlorinity, printed[t][k], 0.005, "APHA 4500-O, from memory");
            assert_near(by_chlorinity, mg_per_l((double)t, 1.80655 * chlorinity, 1), 0.001,
                        "the form by salinity");
        }
    }
}

static void the_pressure_factor_takes_degrees_celsius_and_atmospheres(void **state)
{
    static const struct {
        double t, u_mmhg, theta, at_80, at_90, at_95, at_105;
    } rows[] = {
        {0, 4.580, 0.0009750, 0.79894, 0.89948, 0.94974, 1.05025},
        {10, 9.208, 0.0008388, 0.79768, 0.89885, 0.94943, 1.05057},
        {15, 12.789, 0.0007756, 0.79670, 0.89836, 0.94918, 1.05081},
        {20, 17.536, 0.0007155, 0.79539, 0.89770, 0.94885, 1.05114},
        {25, 23.759, 0.0006587, 0.79365, 0.89683, 0.94842, 1.05158},
        {30, 31.826, 0.0006051, 0.79135, 0.89568, 0.94784, 1.05215},
    };
    static const double pressures[] = {0.80, 0.90, 0.95, 1.05, 1};
    static const char source[] = "USGS OWQ TM 2011.03, its equation worked out";

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double expected[] = {rows[i].at_80, rows[i].at_90, rows[i].at_95, rows[i].at_105, 1};

        assert_near(oxygen_vapour_pressure_atm(rows[i].t) * MMHG_PER_ATM, rows[i].u_mmhg, 0.001,
                    source);
        assert_near(oxygen_theta(rows[i].t), rows[i].theta, 5e-8, source);
        for (size_t k = 0; k < ARRAY_LEN(pressures); k++) {
            double out = 0;
            struct err err = ERR_INIT;

            assert_done(oxygen_pressure_factor(rows[i].t, pressures[k], &out, &err), &err);
            assert_near(out, expected[k], 1e-5, source);
        }
    }
}

static void thin_air_leaves_less_in_the_water(void **state)
{
    static const struct {
        double t, mg_per_l[8]; /* at these mmHg, in fresh water */
    } rows[] = {
        {0, {11.53, 12.49, 13.07, 13.46, 13.85, 14.23, 14.62, 15.01}},
        {5, {10.06, 10.91, 11.42, 11.75, 12.09, 12.43, 12.77, 13.11}},
        {10, {8.88, 9.64, 10.09, 10.39, 10.69, 10.99, 11.29, 11.59}},
        {15, {7.93, 8.60, 9.00, 9.27, 9.54, 9.81, 10.08, 10.35}},
        {20, {7.13, 7.75, 8.11, 8.36, 8.60, 8.85, 9.09, 9.34}},
        {25, {6.47, 7.03, 7.37, 7.59, 7.81, 8.04, 8.26, 8.49}},
        {30, {5.90, 6.42, 6.73, 6.94, 7.14, 7.35, 7.56, 7.77}},
        {35, {5.40, 5.88, 6.18, 6.37, 6.56, 6.76, 6.95, 7.14}},
        {40, {4.96, 5.41, 5.69, 5.87, 6.05, 6.23, 6.41, 6.59}},
    };
    static const double mmhg[] = {600, 650, 680, 700, 720, 740, 760, 780};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (size_t k = 0; k < ARRAY_LEN(mmhg); k++)
            assert_near(mg_per_l(rows[i].t, 0, mmhg[k] / MMHG_PER_ATM), rows[i].mg_per_l[k], 0.0051,
                        "USGS OWQ TM 2011.03, its equation worked out");
}

static void percent_says_whether_it_is_of_the_local_pressure(void **state)
{
    static const struct {
        enum oxygen_reference reference;
        double percent;
    } rows[] = {
        {OXYGEN_AT_SEA_LEVEL, 96.541},
        {OXYGEN_AT_LOCAL_PRESSURE, 98.348},
    };
    const double atm = 99.5 / KPA_PER_ATM;
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(oxygen_percent_saturation(7.5, 18, 33, rows[i].reference, atm, &out, &err),
                    &err);
        assert_near(out, rows[i].percent, 0.0005, "USGS OWQ TM 2011.03, worked out by hand");
        assert_done(oxygen_mg_per_l_from_percent(out, 18, 33, rows[i].reference, atm, &out, &err),
                    &err);
        assert_near(out, 7.5, 1e-12, "there and back");
    }
    assert_string_equal(oxygen_reference_name(OXYGEN_AT_SEA_LEVEL),
                        "of saturation at sea level (1 atm)");
    /* Of sea level no pressure is asked. */
    assert_done(oxygen_percent_saturation(7.5, 18, 33, OXYGEN_AT_SEA_LEVEL, NAN, &out, &err), &err);
    assert_fails(oxygen_percent_saturation(7.5, 18, 33, OXYGEN_AT_LOCAL_PRESSURE, NAN, &out, &err),
                 ERR_INVALID, &err);
}

static void air_thins_with_altitude(void **state)
{
    static const struct {
        double altitude_m, kpa;
    } rows[] = {
        {0, 101.325}, {500, 95.461}, {1000, 89.875}, {1500, 84.556}, {2000, 79.495}, {3000, 70.109},
    };
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(air_pressure_at_altitude_kpa(rows[i].altitude_m, &out, &err), &err);
        assert_near(out, rows[i].kpa, 0.0006, "ISO 2533, from memory");
    }
    /* 1013.25 hPa told by a weather service is 954.61 hPa at 500 m. */
    assert_done(air_pressure_at_station_kpa(101.325, 500, &out, &err), &err);
    assert_near(out, 95.461, 0.0006, "ISO 2533, from memory");
    assert_fails(air_pressure_at_altitude_kpa(11001, &out, &err), ERR_INVALID, &err);
    assert_fails(air_pressure_at_station_kpa(1013.25, 0, &out, &err), ERR_INVALID, &err);
}

static void weiss_holds_what_its_paper_prints(void **state)
{
    static const struct {
        double t68, salinity, ml_per_l;
    } rows[] = {
        {-1, 20, 9.162}, {10, 20, 6.950}, {20, 20, 5.644}, {40, 20, 4.050},
        {-1, 40, 7.984}, {10, 40, 6.121}, {20, 40, 5.015}, {40, 40, 3.656},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(oxygen_solubility_weiss_ml_per_l(rows[i].t68, rows[i].salinity, &out, &err),
                    &err);
        assert_near(out, rows[i].ml_per_l, 0.0006,
                    "the table of Weiss 1970, in the CSIRO seawater tests");
    }
    /* With the real volume of oxygen it is within 0.5 percent of Benson and Krause. */
    assert_done(oxygen_solubility_weiss_ml_per_l(20, 35, &out, &err), &err);
    assert_near(out * OXYGEN_MG_PER_ML / mg_per_l(20, 35, 1), 0.9981, 0.0002,
                "the difference of the two equations");
}

static double garcia_gordon(enum oxygen_fit fit, double t68, double salinity)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(oxygen_solubility_garcia_gordon(fit, t68, salinity, &out, &err), &err);

    return out;
}

static void garcia_and_gordon_give_their_check_value(void **state)
{
    const double ml = garcia_gordon(OXYGEN_FIT_BENSON_KRAUSE_ML_PER_L, 10, 35);

    (void)state;
    assert_near(garcia_gordon(OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG, 10, 35), 274.610, 0.0005,
                "Garcia and Gordon 1992, page 1311");
    assert_near(garcia_gordon(OXYGEN_FIT_COMBINED_UMOL_PER_KG, 10, 35), 274.646, 0.0005,
                "the combined fit, worked out");
    assert_near(ml, 6.315, 0.0005, "Garcia and Gordon 1992, from memory");
    assert_near(ml * OXYGEN_UMOL_PER_ML, 282.015, 0.001, "Garcia and Gordon 1992, from memory");
}

static void the_teos_10_library_s_values_come_out(void **state)
{
    static const struct {
        double salinity, t90, umol_per_kg;
    } rows[] = {
        {34.7118, 28.8099, 194.6825431692940}, {34.8915, 28.4392, 195.6135062814438},
        {35.0256, 22.7862, 214.6559360234014}, {34.8472, 10.2262, 273.5652832698713},
        {34.7366, 6.8272, 295.1580761415903},  {34.7324, 4.3236, 312.9598716631408},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(garcia_gordon(OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG,
                                  temperature_t68_from_t90(rows[i].t90), rows[i].salinity),
                    rows[i].umol_per_kg, 1e-9, "the help page of the TEOS-10 library");
}

static void the_amounts_agree_across_units(void **state)
{
    (void)state;
    for (double salinity = 0; salinity <= 35; salinity += 5) {
        for (double t = 0; t <= 30; t += 5) {
            double per_l = 0, per_kg = 0, density = 0, garcia = 0;
            const double mg = mg_per_l(t, salinity, 1);
            struct err err = ERR_INIT;

            assert_done(oxygen_solubility_umol_per_l(t, salinity, 1, &per_l, &err), &err);
            assert_done(oxygen_solubility_umol_per_kg(t, salinity, 1, &per_kg, &err), &err);
            assert_done(sea_water_density_eos80(salinity, t, 0, &density, &err), &err);
            garcia = garcia_gordon(OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG, t, salinity);
            assert_near(mg_per_l_from_umol_per_l(per_l, OXYGEN_G_PER_MOL) / mg, 1, 1e-5,
                        "the mass of O2");
            assert_near(mg_per_l_from_umol_per_kg(per_kg, OXYGEN_G_PER_MOL, density) / mg, 1, 1.2e-4,
                        "EOS-80");
            assert_near(mg_per_l_from_umol_per_kg(garcia, OXYGEN_G_PER_MOL, density) / mg, 1,
                        2.5e-4, "Garcia and Gordon 1992");
        }
    }
}

static void what_is_beyond_the_equations_is_refused_and_told(void **state)
{
    static const struct {
        double t, salinity, atm;
        const char *text; /* NULL: just inside */
    } rows[] = {
        {0, 0, 1, NULL},
        {40, 40, 1.1, NULL},
        {20, 35, 0.5, NULL},
        {-0.1, 35, 1, "the temperature is -0.1 degC, and Benson and Krause 1984 holds from 0"},
        {40.1, 35, 1, "the temperature is 40.1 degC"},
        {20, 40.1, 1, "the practical salinity is 40.1"},
        {20, -1, 1, "the practical salinity is -1"},
        {20, 35, 0.49, "the air pressure is 0.49 atm"},
        {20, 35, 101.325, "the air pressure is 101.325 atm"}, /* kPa taken for atm */
    };
    double out = -99;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double own = -99;
        struct err err = ERR_INIT;
        bool done =
            oxygen_solubility_mg_per_l(rows[i].t, rows[i].salinity, rows[i].atm, &own, &err);

        if (!rows[i].text) {
            assert_done(done, &err);
            continue;
        }
        assert_fails(done, ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].text);
        assert_true(own == -99);
    }

    struct err err = ERR_INIT;

    assert_fails(oxygen_solubility_weiss_ml_per_l(-1.1, 35, &out, &err), ERR_INVALID, &err);
    assert_fails(
        oxygen_solubility_garcia_gordon(OXYGEN_FIT_COMBINED_UMOL_PER_KG, 20, 43, &out, &err),
        ERR_INVALID, &err);
    assert_fails(oxygen_solubility_chlorinity_mg_per_l(20, 25, 1, &out, &err), ERR_INVALID, &err);
    assert_fails(oxygen_percent_saturation(-1, 20, 35, OXYGEN_AT_SEA_LEVEL, 1, &out, &err),
                 ERR_INVALID, &err);
    assert_true(out == -99);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fresh_water_holds_what_textbooks_print),
        cmocka_unit_test(saline_water_holds_less),
        cmocka_unit_test(the_form_by_chlorinity_is_near_the_printed_table),
        cmocka_unit_test(the_pressure_factor_takes_degrees_celsius_and_atmospheres),
        cmocka_unit_test(thin_air_leaves_less_in_the_water),
        cmocka_unit_test(percent_says_whether_it_is_of_the_local_pressure),
        cmocka_unit_test(air_thins_with_altitude),
        cmocka_unit_test(weiss_holds_what_its_paper_prints),
        cmocka_unit_test(garcia_and_gordon_give_their_check_value),
        cmocka_unit_test(the_teos_10_library_s_values_come_out),
        cmocka_unit_test(the_amounts_agree_across_units),
        cmocka_unit_test(what_is_beyond_the_equations_is_refused_and_told),
    };

    return cmocka_run_group_tests_name("measure/oxygen_solubility", tests, NULL, NULL);
}

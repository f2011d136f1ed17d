#include <string.h>

#include "harness/near.h"
#include "measure/specific_conductance.h"

static void the_table_of_iso_7888_comes_out_at_every_degree(void **state)
{
    static const double f25[] = {
        1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467, 1.428, 1.390,
        1.354, 1.320, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141, 1.116, 1.091, 1.067, 1.044,
        1.021, 1.000, 0.979, 0.959, 0.940, 0.921, 0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t t = 0; t < ARRAY_LEN(f25); t++) {
        assert_done(specific_conductance_iso7888_factor((double)t, &out, &err), &err);
        assert_near(out, f25[t], 0.0005, "the table of ISO 7888:1985, in instrument handbooks");
        assert_done(specific_conductance_iso7888(0.5, (double)t, &out, &err), &err);
        assert_near(out, 0.5 * f25[t], 0.00025, "the table of ISO 7888:1985");
    }
}

static void the_straight_line_takes_the_alpha_it_is_told(void **state)
{
    static const struct {
        double t, by_0191, by_020;
    } rows[] = {
        {0, 1.9139, 2.0000},  {5, 1.6181, 1.6667},  {10, 1.4015, 1.4286},
        {15, 1.2361, 1.2500}, {20, 1.1056, 1.1111}, {30, 0.9128, 0.9091},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(
            specific_conductance_linear(1, rows[i].t, SPECIFIC_CONDUCTANCE_ALPHA_APHA, &out, &err),
            &err);
        assert_near(out, rows[i].by_0191, 5e-5, "worked out from APHA 2510 B");
        assert_done(specific_conductance_linear(1, rows[i].t, 0.020, &out, &err), &err);
        assert_near(out, rows[i].by_020, 5e-5, "worked out by hand");
    }
}

static void sea_water_is_not_on_the_straight_line(void **state)
{
    /* What conductivity is multiplied by, worked out from PSS-78. */
    static const struct {
        double t, at_35, at_20, at_2;
    } rows[] = {
        {0, 1.8278, 1.8429, 1.8740},  {5, 1.5863, 1.5958, 1.6153},  {10, 1.3933, 1.3990, 1.4107},
        {15, 1.2366, 1.2396, 1.2460}, {20, 1.1075, 1.1088, 1.1115}, {30, 0.9094, 0.9085, 0.9066},
    };
    static const double salinities[] = {35, 20, 2.0000001};
    const enum salinity_form form = SALINITY_HILL_CONTINUOUS;
    double at_t = 0, at_25 = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double expected[] = {rows[i].at_35, rows[i].at_20, rows[i].at_2};

        for (size_t k = 0; k < ARRAY_LEN(salinities); k++) {
            assert_done(salinity_to_conductivity(form, salinities[k], rows[i].t, 0, &at_t, &err),
                        &err);
            assert_done(specific_conductance_sea(form, at_t, rows[i].t, 0, &at_25, &err), &err);
            assert_near(at_25 / at_t, expected[k], 6e-5, "PSS-78, UNESCO 44 (1983)");
        }
    }
}

static void each_way_is_held_to_its_range(void **state)
{
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(specific_conductance_iso7888(0.5, 36, &out, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "ISO 7888 holds from 0 to 35.9 degC"));
    assert_fails(specific_conductance_iso7888(0.5, -0.1, &out, &err), ERR_INVALID, &err);
    assert_fails(specific_conductance_iso7888(-1, 20, &out, &err), ERR_INVALID, &err);
    assert_fails(specific_conductance_linear(500, 41, 0.0191, &out, &err), ERR_INVALID, &err);
    assert_fails(specific_conductance_linear(500, 20, 1.91, &out, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "the alpha is 1.91 per degC"));
    assert_fails(specific_conductance_sea(SALINITY_PSS78, 1, 20, 0, &out, &err), ERR_INVALID, &err);
    assert_true(out == -99);
    assert_done(specific_conductance_iso7888(0.5, 35.9, &out, &err), &err);
    assert_done(specific_conductance_iso7888(0.5, 0, &out, &err), &err);
}

static void the_equation_for_fresh_water_is_not_given_for_sea_water(void **state)
{
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(specific_conductance_iso7888(45, 10, &out, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "natural fresh water, holds from 0.06 to 1 mS/cm"));
    assert_fails(specific_conductance_iso7888(0.01, 10, &out, &err), ERR_INVALID, &err);
    assert_true(out == -99);
    /* ISO 7888:1985, natural water: about 60 to 1000 uS/cm, from memory. */
    assert_done(specific_conductance_iso7888(0.06, 25, &out, &err), &err);
    assert_done(specific_conductance_iso7888(1, 25, &out, &err), &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_equation_for_fresh_water_is_not_given_for_sea_water),
        cmocka_unit_test(the_table_of_iso_7888_comes_out_at_every_degree),
        cmocka_unit_test(the_straight_line_takes_the_alpha_it_is_told),
        cmocka_unit_test(sea_water_is_not_on_the_straight_line),
        cmocka_unit_test(each_way_is_held_to_its_range),
    };

    return cmocka_run_group_tests_name("measure/specific_conductance", tests, NULL, NULL);
}

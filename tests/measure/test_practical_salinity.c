#include "harness/near.h"

#include <string.h>

#include "measure/practical_salinity.h"

static const char unesco[] = "UNESCO Technical Papers in Marine Science 44 (1983)";

static void the_steps_are_those_the_report_prints(void **state)
{
    static const struct {
        double ratio, t68, dbar, rp, rt, rt_ratio, salinity;
    } rows[] = {
        /* page 9; 0 where it prints none */
        {1, 15, 0, 1.0000000, 0, 1.0000000, 35.000000},
        {1.2, 20, 2000, 1.0169429, 1.1164927, 1.0568875, 37.245628},
        {0.65, 5, 1500, 1.0204864, 0.77956585, 0.81705885, 27.995347},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double ratio = rows[i].ratio, t68 = rows[i].t68, dbar = rows[i].dbar;

        assert_near(pss78_rp(ratio, t68, dbar), rows[i].rp, 1e-7, unesco);
        if (rows[i].rt > 0)
            assert_near(pss78_rt(t68), rows[i].rt, 1e-7, unesco);
        assert_near(pss78_rt_ratio(ratio, t68, dbar), rows[i].rt_ratio, 1e-7, unesco);
        assert_near(pss78_salinity(ratio, t68, dbar), rows[i].salinity, 1e-6, unesco);
    }
    /* page 11 */
    assert_near(pss78_ratio(40, 40, 10000), 1.888091, 1e-6, unesco);
}

/* Page 13, at the surface: a part of it is beyond salinity 42 and 35 degC. */
static void the_report_s_table_of_salinities_comes_out(void **state)
{
    static const struct {
        double ratio, t68, salinity;
    } rows[] = {
        {0.6990725, 10, 26.8609}, {0.6990725, 30, 16.71},   {0.6990725, 40, 13.8131},
        {0.9320967, 40, 18.9594}, {1.1651209, 0, 64.4641},  {1.1651209, 10, 47.5215},
        {1.3981451, 10, 58.5321}, {1.3981451, 20, 45.1289}, {1.3981451, 30, 36.1195},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(pss78_salinity(rows[i].ratio, rows[i].t68, 0), rows[i].salinity, 1e-4, unesco);
}

/* Page 14, at 0, 10, 20, 30 and 40 degC; 0 stands where the print can't be read. */
static void the_report_s_table_of_ratios_comes_out(void **state)
{
    static const struct {
        double salinity, dbar, ratios[5];
    } rows[] = {
        {25, 0, {0, 0, 0, 1.006639, 0}},
        {25, 1000, {0.506244, 0, 0.833139, 1.013951, 0}},
        {25, 2000, {0.513925, 0, 0.840302, 1.020797, 0}},
        {25, 3000, {0.521068, 0, 0.846983, 0, 1.215394}},
        {25, 4000, {0.527692, 0, 0, 1.03313, 1.221069}},
        {25, 5000, {0.533813, 0.689814, 0.858947, 1.03864, 0}},
        {25, 6000, {0.539447, 0.695319, 0.864254, 1.043724, 0}},
        {25, 7000, {0.544609, 0, 0, 1.048395, 1.235653}},
        {25, 8000, {0.549314, 0.704976, 0, 1.052661, 1.239732}},
        {25, 9000, {0.553574, 0, 0, 1.056533, 1.243435}},
        {25, 10000, {0.557404, 0.712912, 0, 1.06002, 1.24677}},
        {30, 0, {0.58822, 0, 0, 1.185361, 0}},
        {30, 1000, {0.597649, 0.781728, 0, 0, 1.415394}},
        {30, 2000, {0.606437, 0.790282, 0, 0, 1.422939}},
        {30, 3000, {0, 0.798249, 0, 1.209045, 1.429984}},
        {30, 4000, {0, 0.805646, 1.004585, 1.215893, 1.436539}},
        {30, 5000, {0, 0, 1.011194, 1.22224, 1.442617}},
        {30, 6000, {0.635602, 0.818792, 0, 1.228097, 1.448228}},
        {30, 7000, {0, 0, 1.022884, 1.233476, 0}},
        {30, 8000, {0, 0, 1.02799, 0, 0}},
        {30, 9000, {0, 0.834627, 1.032622, 1.242846, 0}},
        {30, 10000, {0, 0.838926, 1.036792, 1.24686, 1.466219}},
        {35, 0, {0, 0, 1.116493, 0, 0}},
        {35, 1000, {0.687138, 0, 0, 1.369156, 1.622586}},
        {35, 2000, {0.696945, 0, 1.135602, 1.378024, 1.631085}},
        {35, 3000, {0.706057, 0.916254, 0, 1.386298, 0}},
        {35, 4000, {0.714499, 0, 1.152207, 0, 0}},
        {35, 5000, {0, 0, 1.159613, 1.401122, 1.653247}},
        {35, 6000, {0.729461, 0.939209, 0, 1.407701, 0}},
        {35, 7000, {0, 0.945666, 1.172706, 0, 1.665369}},
        {35, 8000, {0.742002, 0.951555, 0, 0, 1.670672}},
        {35, 9000, {0, 0.956891, 1.183612, 1.424263, 1.675484}},
        {35, 10000, {0.752275, 0.96169, 1.188279, 1.428769, 1.679819}},
        {40, 0, {0, 1.000073, 0, 1.529967, 1.814775}},
        {40, 1000, {0.774845, 1.011334, 0, 0, 1.824816}},
        {40, 2000, {0.785595, 1.021844, 1.278102, 0, 0}},
        {40, 3000, {0, 1.031625, 1.287575, 1.559342, 0}},
        {40, 4000, {0, 0, 0, 1.56783, 0}},
        {40, 5000, {0, 1.049093, 0, 1.575694, 0}},
        {40, 6000, {0, 0, 1.312037, 1.582949, 1.865705}},
        {40, 7000, {0, 0, 1.318929, 1.58961, 1.872121}},
        {40, 8000, {0.834932, 1.070363, 1.325218, 0, 0}},
        {40, 9000, {0.840851, 1.076215, 1.330921, 0, 1.883301}},
        {40, 10000, {0.846168, 0, 1.336054, 0, 1.888091}},
    };
    size_t cells = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        for (size_t k = 0; k < ARRAY_LEN(rows[i].ratios); k++) {
            if (rows[i].ratios[k] <= 0)
                continue;
            assert_near(pss78_ratio(rows[i].salinity, (double)(10 * k), rows[i].dbar),
                        rows[i].ratios[k], 1e-6, unesco);
            cells++;
        }
    }
    assert_true(cells > 100);
}

static double salinity(enum salinity_form form, double ms_per_cm, double t90, double dbar)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(salinity_from_conductivity(form, ms_per_cm, t90, dbar, &out, &err), &err);

    return out;
}

static void a_conductivity_today_is_turned_to_the_temperatures_of_1968(void **state)
{
    static const struct {
        double ms_per_cm, t90, dbar, salinity;
    } rows[] = {
        {34.5487, 28.7856, 10, 20.009869599087},  {34.7275, 28.4329, 50, 20.265511864874},
        {34.8605, 22.8103, 125, 22.981513062528}, {34.6810, 10.2600, 250, 31.204503263728},
        {34.5680, 6.8863, 600, 34.032315787433},  {34.5600, 4.4036, 1000, 36.400308494388},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(salinity(SALINITY_PSS78, rows[i].ms_per_cm, rows[i].t90, rows[i].dbar),
                    rows[i].salinity, 1e-9, "the help page of the TEOS-10 library, from memory");
}

static void a_thermometer_of_today_is_not_read_as_one_of_1968(void **state)
{
    (void)state;
    assert_near(pss78_salinity(1, 15, 0), 35, 1e-6, unesco);
    assert_near(salinity(SALINITY_PSS78, 42.914, 15, 0), 34.99677, 1e-5,
                "t68 = 1.00024 t90, worked out");
    assert_near(temperature_t90_from_t68(temperature_t68_from_t90(15)), 15, 1e-12, "its inverse");
}

static void salinities_at_the_surface_are_those_of_the_teos_10_library(void **state)
{
    static const struct {
        double ms_per_cm, t90, salinity;
    } rows[] = {
        {5.0, 20, 2.998100}, {10, 25, 5.626644},  {20, 15, 15.081459}, {30, 20, 20.806120},
        {35, 10, 31.856061}, {40, 15, 32.353450}, {45, 18, 34.233357}, {50, 20, 36.713099},
        {53, 25, 34.947299}, {55, 25, 36.436028}, {60, 30, 36.114106},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(salinity(SALINITY_HILL_CONTINUOUS, rows[i].ms_per_cm, rows[i].t90, 0),
                    rows[i].salinity, 1e-6, "gsw 3.6.16 SP_from_C");
}

static void below_two_the_forms_differ_as_they_should(void **state)
{
    static const struct {
        double ms_per_cm, t90, published, continuous;
    } rows[] = {
        /* the first column worked out from Hill and others 1986, the second by gsw 3.6.16 */
        {0.1, 25, 0.046206, 0.046209}, {0.5, 10, 0.343700, 0.343686},
        {1.0, 25, 0.492413, 0.492451}, {2.0, 25, 1.016523, 1.016600},
        {3.0, 15, 1.967348, 1.967358}, {3.78, 25, 1.990546, 1.990698},
    };
    static const struct {
        double ms_per_cm, t90, continuous;
    } closer[] = {
        {0.2, 10, 0.134042937},
        {0.5, 15, 0.302019986},
        {1.0, 20, 0.550072219},
        {1.5, 20, 0.840224766},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double c = rows[i].ms_per_cm, t90 = rows[i].t90;

        assert_near(salinity(SALINITY_HILL_PUBLISHED, c, t90, 0), rows[i].published, 6e-7,
                    "Hill and others 1986");
        assert_near(salinity(SALINITY_HILL_CONTINUOUS, c, t90, 0), rows[i].continuous, 6e-7,
                    "gsw 3.6.16 SP_from_C");
    }
    for (size_t i = 0; i < ARRAY_LEN(closer); i++)
        assert_near(salinity(SALINITY_HILL_CONTINUOUS, closer[i].ms_per_cm, closer[i].t90, 0),
                    closer[i].continuous, 1e-9, "gsw 3.6.16 SP_from_C");
}

static void pure_water_has_no_salinity(void **state)
{
    (void)state;
    for (double t90 = -2; t90 <= 35; t90 += 1) {
        assert_near(salinity(SALINITY_HILL_PUBLISHED, 0, t90, 0), 0, 1e-15, "Hill and others 1986");
        assert_near(salinity(SALINITY_HILL_CONTINUOUS, 0, t90, 0), 0, 1e-15,
                    "Hill and others 1986");
    }
}

static void there_is_no_step_at_two_in_the_continuous_form(void **state)
{
    double below = 0, above = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (double t90 = 0; t90 <= 35; t90 += 5) {
        assert_done(
            salinity_to_conductivity(SALINITY_HILL_CONTINUOUS, 2 - 1e-9, t90, 0, &below, &err),
            &err);
        assert_done(
            salinity_to_conductivity(SALINITY_HILL_CONTINUOUS, 2 + 1e-9, t90, 0, &above, &err),
            &err);
        assert_near(above - below, 0, 1e-8, "its definition");
    }
}

static void conductivity_comes_back_from_salinity(void **state)
{
    static const struct {
        double salinity, ms_per_cm;
    } rows[] = {
        /* at t90 = 25 */
        {1, 1.9689},   {2, 3.7967},   {5, 8.9599},   {10, 17.0243}, {15, 24.6952},
        {20, 32.0910}, {25, 39.2666}, {30, 46.2532}, {32, 48.9997}, {34, 51.7202},
        {35, 53.0710}, {36, 54.4156}, {40, 59.7339},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(
            salinity_to_conductivity(SALINITY_HILL_CONTINUOUS, rows[i].salinity, 25, 0, &out, &err),
            &err);
        assert_near(out, rows[i].ms_per_cm, 1e-4, "gsw 3.6.16 C_from_SP");
    }
}

static void there_and_back_is_the_same_salinity_in_every_form(void **state)
{
    double ms_per_cm = 0, ratio = 0, out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (enum salinity_form form = 0; form < SALINITY_FORM_COUNT; form++) {
        for (double s = form == SALINITY_PSS78 ? 2 : 0.05; s <= 42; s += 0.9) {
            assert_done(salinity_to_conductivity(form, s, 12.5, 30, &ms_per_cm, &err), &err);
            assert_near(salinity(form, ms_per_cm, 12.5, 30), s, 1e-10, salinity_form_name(form));
            assert_done(salinity_to_ratio(form, s, 12.5, 30, &ratio, &err), &err);
            assert_done(salinity_from_ratio(form, ratio, 12.5, 30, &out, &err), &err);
            assert_near(out, s, 1e-10, salinity_form_name(form));
        }
    }
}

static void what_is_beyond_the_scale_is_refused_and_told(void **state)
{
    static const struct {
        enum salinity_form form;
        double ms_per_cm, t90, dbar;
        const char *text; /* NULL: just inside */
    } rows[] = {
        {SALINITY_PSS78, 25, -2, 0, NULL},
        {SALINITY_PSS78, 40, -2.01, 0, "the temperature is -2.01 degC"},
        {SALINITY_PSS78, 40, 35, 0, NULL},
        {SALINITY_PSS78, 40, 35.01, 0, "holds from -2 to 35 degC"},
        {SALINITY_PSS78, 40, 20, 10000, NULL},
        {SALINITY_PSS78, 40, 20, 10001, "the pressure is 10001 dbar"},
        {SALINITY_PSS78, 40, 20, -0.1, "the pressure is -0.1 dbar"},
        {SALINITY_PSS78, -1, 20, 0, "the conductivity is -1 mS/cm"},
        {SALINITY_PSS78, NAN, 20, 0, "the conductivity is not a number"},
        {SALINITY_PSS78, 3.7, 25, 0, "PSS-78 holds from 2 to 42"}, /* 1.9465 */
        {SALINITY_PSS78, 3.8, 25, 0, NULL},                        /* 2.0018 */
        {SALINITY_HILL_PUBLISHED, 3.7, 25, 0, NULL},
        {SALINITY_HILL_CONTINUOUS, 0, 25, 0, NULL},
        {SALINITY_PSS78, 62.3, 25, 0, NULL},
        {SALINITY_PSS78, 62.5, 25, 0, "the practical salinity is 42."},
        {SALINITY_PSS78, 41200, 16, 0, "the conductivity is 41200 mS/cm, and PSS-78 holds from 0"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double out = -99;
        struct err err = ERR_INIT;
        bool done = salinity_from_conductivity(rows[i].form, rows[i].ms_per_cm, rows[i].t90,
                                               rows[i].dbar, &out, &err);

        if (!rows[i].text) {
            assert_done(done, &err);
            continue;
        }
        assert_fails(done, ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].text);
        assert_true(out == -99);
    }
}

static void a_salinity_beyond_the_scale_has_no_conductivity(void **state)
{
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(salinity_to_conductivity(SALINITY_PSS78, 1.9, 20, 0, &out, &err), ERR_INVALID,
                 &err);
    assert_fails(salinity_to_ratio(SALINITY_HILL_CONTINUOUS, 42.1, 20, 0, &out, &err), ERR_INVALID,
                 &err);
    assert_fails(salinity_to_ratio(SALINITY_HILL_CONTINUOUS, -0.1, 20, 0, &out, &err), ERR_INVALID,
                 &err);
    assert_true(out == -99);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_steps_are_those_the_report_prints),
        cmocka_unit_test(the_report_s_table_of_salinities_comes_out),
        cmocka_unit_test(the_report_s_table_of_ratios_comes_out),
        cmocka_unit_test(a_conductivity_today_is_turned_to_the_temperatures_of_1968),
        cmocka_unit_test(a_thermometer_of_today_is_not_read_as_one_of_1968),
        cmocka_unit_test(salinities_at_the_surface_are_those_of_the_teos_10_library),
        cmocka_unit_test(below_two_the_forms_differ_as_they_should),
        cmocka_unit_test(pure_water_has_no_salinity),
        cmocka_unit_test(there_is_no_step_at_two_in_the_continuous_form),
        cmocka_unit_test(conductivity_comes_back_from_salinity),
        cmocka_unit_test(there_and_back_is_the_same_salinity_in_every_form),
        cmocka_unit_test(what_is_beyond_the_scale_is_refused_and_told),
        cmocka_unit_test(a_salinity_beyond_the_scale_has_no_conductivity),
    };

    return cmocka_run_group_tests_name("measure/practical_salinity", tests, NULL, NULL);
}

#include <string.h>

#include "harness/near.h"
#include "measure/ph_mean.h"

static double mean(enum ph_mean which, const double *ph, const double *weights, size_t count)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(ph_mean_of(which, ph, weights, count, &out, &err), &err);

    return out;
}

static void the_two_means_differ_as_worked_out_in_r(void **state)
{
    static const struct {
        double ph[4];
        size_t count;
        double arithmetic, hydrogen;
    } rows[] = {
        {{7, 8, 9}, 3, 8, 7.43179827593},
        {{6.5, 8.5}, 2, 7.5, 6.79670862188},
        {{8.02, 8.11, 7.89, 8.05}, 4, 8.0175, 8.00980102649},
        {{8.1}, 1, 8.1, 8.1},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_near(mean(PH_MEAN_ARITHMETIC, rows[i].ph, NULL, rows[i].count), rows[i].arithmetic,
                    1e-9, "R 4.2.2");
        assert_near(mean(PH_MEAN_HYDROGEN_ION, rows[i].ph, NULL, rows[i].count), rows[i].hydrogen,
                    1e-9, "R 4.2.2");
    }
}

static void flows_weigh_both_means(void **state)
{
    static const double ph[] = {7.8, 8.2};
    static const double flows[] = {10, 30};

    (void)state;
    assert_near(mean(PH_MEAN_ARITHMETIC, ph, flows, 2), 8.1, 1e-9, "R 4.2.2");
    assert_near(mean(PH_MEAN_HYDROGEN_ION, ph, flows, 2), 8.06075973066, 1e-9, "R 4.2.2");
}

static void a_mean_without_a_meaning_is_refused(void **state)
{
    static const double ph[] = {7.8, 8.2};
    static const double beyond[] = {7.8, 14.2};
    static const double nothing[] = {0, 0};
    static const double negative[] = {2, -1};
    static const struct {
        const double *ph, *weights;
        size_t count;
        const char *text;
    } rows[] = {
        {ph, NULL, 0, "there is no pH"},
        {beyond, NULL, 2, "the pH is 14.2"},
        {ph, nothing, 2, "add up to 0"},
        {ph, negative, 2, "the weight is -1"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double out = -99;
        struct err err = ERR_INIT;

        assert_fails(ph_mean_of(PH_MEAN_HYDROGEN_ION, rows[i].ph, rows[i].weights, rows[i].count,
                                &out, &err),
                     ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].text);
        assert_true(out == -99);
    }
}

static void each_mean_is_named(void **state)
{
    (void)state;
    assert_string_equal(ph_mean_name(PH_MEAN_ARITHMETIC), "arithmetic mean");
    assert_string_equal(ph_mean_name(PH_MEAN_HYDROGEN_ION), "mean by hydrogen ions");
}

static void an_electrode_s_slope_grows_with_the_temperature(void **state)
{
    static const struct {
        double t, mv;
    } rows[] = {
        {0, 54.199}, {10, 56.183}, {15, 57.175}, {20, 58.167}, {25, 59.159}, {35, 61.144},
    };
    double out = -99;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(ph_electrode_slope_mv(rows[i].t, &out, &err), &err);
        assert_near(out, rows[i].mv, 0.001, "ln(10) R T / F with the constants of CODATA 2018");
    }
    assert_fails(ph_electrode_slope_mv(101, &out, &err), ERR_INVALID, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_two_means_differ_as_worked_out_in_r),
        cmocka_unit_test(flows_weigh_both_means),
        cmocka_unit_test(a_mean_without_a_meaning_is_refused),
        cmocka_unit_test(each_mean_is_named),
        cmocka_unit_test(an_electrode_s_slope_grows_with_the_temperature),
    };

    return cmocka_run_group_tests_name("measure/ph_mean", tests, NULL, NULL);
}

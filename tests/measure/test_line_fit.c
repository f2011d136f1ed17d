#include "harness/near.h"
#include "measure/line_fit.h"

/* Student's t for 97.5 %, NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2. */
static void student_t_is_the_printed_table(void **state)
{
    static const struct {
        double p, degrees, t;
    } rows[] = {
        {0.975, 1, 12.706}, {0.975, 2, 4.303},   {0.975, 3, 3.182},   {0.975, 4, 2.776},
        {0.975, 5, 2.571},  {0.975, 10, 2.228},  {0.975, 20, 2.086},  {0.975, 30, 2.042},
        {0.975, 60, 2.000}, {0.975, 100, 1.984}, {0.95, 1, 6.314},    {0.95, 10, 1.812},
        {0.99, 5, 3.365},   {0.999, 1, 318.313}, {0.999, 100, 3.174}, {0.90, 3, 1.638},
    };
    static const char source[] = "NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory";

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double upper = 0;
        double lower = 0;
        /* The table rounds to a thousandth; its 318.313 is 318.309. */
        double off = rows[i].t > 100 ? 0.005 : 0.00051;

        assert_done(line_fit_student_t(rows[i].p, rows[i].degrees, &upper, &err), &err);
        assert_near(upper, rows[i].t, off, source);
        assert_done(line_fit_student_t(1 - rows[i].p, rows[i].degrees, &lower, &err), &err);
        assert_near(lower, -upper, 1e-9 * upper, "the two tails are alike");
    }
}

/* With 1 and 2 degrees of freedom the quantile is elementary; with very many it is normal. */
static void student_t_agrees_with_its_closed_forms(void **state)
{
    (void)state;
    for (int i = 1; i < 200; i++) {
        double p = i / 200.0;
        struct err err = ERR_INIT;
        double t = 0;

        assert_done(line_fit_student_t(p, 1, &t, &err), &err);
        assert_near(t, tan(3.14159265358979323846 * (p - 0.5)), 1e-9 * (1 + fabs(t)),
                    "Cauchy's distribution");
        assert_done(line_fit_student_t(p, 2, &t, &err), &err);
        assert_near(t, (2 * p - 1) * sqrt(2 / (4 * p * (1 - p))), 1e-9 * (1 + fabs(t)),
                    "closed form of 2 degrees");
    }

    struct err err = ERR_INIT;
    double t = 0;

    assert_done(line_fit_student_t(0.975, 1e7, &t, &err), &err);
    assert_near(t, 1.959964, 1e-6, "normal distribution");
}

/* NIST Statistical Reference Datasets, linear regression: Norris (x, y). */
static const struct line_point norris[] = {
    {0.2, 0.1},     {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2},    {226.5, 228.1},
    {666.3, 668.5}, {996.3, 998.5}, {448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {0.4, 0.3},
    {0.6, 0.1},     {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
    {556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {0.3, 0.3},
    {0.3, 0.6},     {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0}, {999.0, 998.5}, {779.0, 778.9},
    {11.1, 10.2},   {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {0.5, 0.2},
};

static void the_norris_data_give_their_certified_values(void **state)
{
    static const char source[] = "NIST StRD, Norris, certified values";
    struct err err = ERR_INIT;
    struct line_fit fit;

    (void)state;
    assert_done(line_fit(norris, ARRAY_LEN(norris), &fit, &err), &err);
    assert_int_equal(fit.points, 36);
    assert_near(fit.slope, 1.00211681802045, 1e-13, source);
    assert_near(fit.slope_se, 0.429796848199937e-03, 1e-14, source);
    assert_near(fit.intercept, -0.262323073774029, 1e-11, source);
    assert_near(fit.intercept_se, 0.232818234301152, 1e-11, source);
    assert_near(fit.residual_sd, 0.884796396144373, 1e-11, source);
    assert_near((fit.slope_high - fit.slope_low) / 2 / fit.slope_se, 2.0322, 5e-5,
                "Student's t, 34 degrees");
}

static void an_exact_line_has_no_uncertainty(void **state)
{
    const struct line_point points[] = {{0, 8}, {1, 7}, {2, 6}};
    struct err err = ERR_INIT;
    struct line_fit fit;

    (void)state;
    assert_done(line_fit(points, 3, &fit, &err), &err);
    assert_near(fit.slope, -1, 1e-15, "by hand");
    assert_near(fit.intercept, 8, 1e-14, "by hand");
    assert_near(fit.slope_se, 0, 1e-14, "by hand");
}

static void what_is_no_line_is_refused(void **state)
{
    static const struct line_point upright[] = {{1, 8}, {1, 7}, {1, 6}};
    static const struct line_point hole[] = {{0, 8}, {1, NAN}, {2, 6}};
    struct line_fit fit = {.slope = -1};
    struct err err = ERR_INIT;
    double t = -1;

    (void)state;
    assert_fails(line_fit(norris, 2, &fit, &err), ERR_INVALID, &err);
    assert_fails(line_fit(upright, 3, &fit, &err), ERR_INVALID, &err);
    assert_fails(line_fit(hole, 3, &fit, &err), ERR_INVALID, &err);
    assert_fails(line_fit_student_t(0, 5, &t, &err), ERR_INVALID, &err);
    assert_fails(line_fit_student_t(1, 5, &t, &err), ERR_INVALID, &err);
    assert_fails(line_fit_student_t(0.9, 0, &t, &err), ERR_INVALID, &err);
    assert_true(fit.slope == -1 && t == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(student_t_is_the_printed_table),
        cmocka_unit_test(student_t_agrees_with_its_closed_forms),
        cmocka_unit_test(the_norris_data_give_their_certified_values),
        cmocka_unit_test(an_exact_line_has_no_uncertainty),
        cmocka_unit_test(what_is_no_line_is_refused),
    };

    return cmocka_run_group_tests_name("measure/line_fit", tests, NULL, NULL);
}

#include "harness/values.h"

#include "base/macro.h"
#include "stat/normal.h"

static const struct {
    double p;
    double z;
    const char *source;
} rows[] = {
    {0.5, 0, "the middle"},
    {0.25, -0.6744897501960817, "Wichura 1988, check value at 0.25"},
    {0.001, -3.090232306167814, "Wichura 1988, check value at 0.001"},
    {1e-20, -9.262340089798408, "Wichura 1988, check value at 1e-20"},
    {0.9, 1.281551565544600, "printed tables"},
    {0.95, 1.644853626951473, "printed tables"},
    {0.975, 1.959963984540054, "printed tables"},
    {0.99, 2.326347874040841, "printed tables"},
};

static void normal_scores_agree_with_the_check_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(normal_quantile(rows[i].p), rows[i].z, 1e-15, rows[i].source);
}

/* The share below is the C library's own erfc(), so that each is checked with the other. */
static void a_score_and_its_share_go_back_and_forth(void **state)
{
    (void)state;
    for (double p = 1e-12; p < 0.999; p = p * 1.37 + 1e-5) {
        assert_near(normal_share_below(normal_quantile(p)), p, 2e-14, "there and back");
        if (p > 0.001)
            assert_near(normal_quantile(1 - p), -normal_quantile(p), 1e-12, "the other side");
    }
}

static void nothing_else_has_a_score(void **state)
{
    static const double none[] = {0, 1, -0.1, 1.1, NAN};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(none); i++)
        assert_true(isnan(normal_quantile(none[i])));
}

/*
 * Wisconsin Administrative Code NR 106.07, table 1: a weekly limit over a monthly one, by how much
 * the results vary and how many there are in a month. Printed to two decimals.
 */
static void normal_scores_give_the_factors_of_a_printed_table(void **state)
{
    static const int samples[] = {1, 2, 3, 4, 8, 12, 16, 20, 24, 30};
    static const struct {
        double variation;
        double factors[ARRAY_LEN(samples)];
    } table[] = {
        {0.2, {1.00, 1.13, 1.20, 1.24, 1.32, 1.36, 1.39, 1.40, 1.41, 1.43}},
        {0.6, {1.00, 1.31, 1.51, 1.64, 1.95, 2.12, 2.23, 2.30, 2.36, 2.43}},
        {1.0, {1.00, 1.37, 1.63, 1.83, 2.34, 2.64, 2.85, 3.01, 3.13, 3.27}},
    };
    double z = normal_quantile(0.99);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(table); i++)
        for (size_t k = 0; k < ARRAY_LEN(samples); k++) {
            double square = log1p(table[i].variation * table[i].variation);
            double square_n = log1p(table[i].variation * table[i].variation / samples[k]);
            double factor =
                exp(z * sqrt(square) - square / 2) / exp(z * sqrt(square_n) - square_n / 2);

            assert_float_equal(factor, table[i].factors[k], 0.00501);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(normal_scores_agree_with_the_check_values),
        cmocka_unit_test(a_score_and_its_share_go_back_and_forth),
        cmocka_unit_test(nothing_else_has_a_score),
        cmocka_unit_test(normal_scores_give_the_factors_of_a_printed_table),
    };

    return cmocka_run_group_tests_name("stat/normal", tests, NULL, NULL);
}

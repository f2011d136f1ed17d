#include "harness/values.h"

#include "base/macro.h"
#include "stat/lognormal.h"

/* Values of a bathing water: Directive 2006/7/EC Annex II prints the rule; worked out with R. */
#define BATHING "10 20 15 40 110 5 30 25 60 80 12 18 22 35 200 8"
/* The same with a result of 0, for which the rule takes the smallest the method detects: 1. */
#define BATHING_ONE "10 20 15 40 110 1 30 25 60 80 12 18 22 35 200 8"
/* Thirty samples of a shellfish water: the rule of 9VAC25-260-160, worked out with R. */
#define SHELLFISH                                                                                  \
    "1.8 2 4.5 1.8 7.8 13 23 1.8 4 6.8 11 49 2 1.8 17 33 4.5 7.8 2 22 1.8 6.8 13 79 4.5 2 11 17 "  \
    "1.8 4"
#define FIRST "3.2 1.7 8.4 2.9 2.9 15.0 0.8 4.4 6.1 3.3"
#define SECOND "2 4.5 7.8 13 23 33 49 79 130 240 350"

static const struct {
    const char *values;
    const char *z;
    bool population;
    double expected;
    double relative;
    const char *source;
} rows[] = {
    {BATHING, "1.282", false, 94.4503, 1e-6, "2006/7/EC Annex II, P90, n - 1"},
    {BATHING, "1.65", false, 135.8701, 1e-6, "2006/7/EC Annex II, P95, n - 1"},
    {BATHING, "1.282", true, 90.7265, 1e-6, "P90, n: the directive does not say which"},
    {BATHING, "1.65", true, 129.0148, 1e-6, "P95, n"},
    {BATHING, "1.6449", false, 135.1871, 1e-6, "P95 with another z"},
    {BATHING_ONE, "1.282", false, 115.5025, 1e-6, "0 taken as the detection limit of 1"},
    {BATHING_ONE, "1.65", false, 181.1909, 1e-6, "0 taken as the detection limit of 1"},
    {SHELLFISH, "1.28", false, 26.0034, 2e-6, "9VAC25-260-160: estimated 90th percentile"},
    {SHELLFISH, "1.28", true, 25.3895, 2e-6, "the same with n"},
    {FIRST, "1.282", false, 10.3791541699, 1e-10, "R 4.2.2"},
    {FIRST, "1.65", false, 14.0211557671, 1e-10, "R 4.2.2"},
    {FIRST, "1.28", false, 10.3622021770, 1e-10, "R 4.2.2"},
    {FIRST, "1.28155156554", false, 10.3753508307, 1e-10, "R 4.2.2, the z of mathematics"},
    {SECOND, "1.282", false, 260.048310247, 1e-10, "R 4.2.2"},
    {SECOND, "1.65", false, 477.083151914, 1e-10, "R 4.2.2"},
    {SECOND, "1.28", false, 259.192095761, 1e-10, "R 4.2.2"},
    {"1 2 3 4", "1.282", false, 4.78368101141, 1e-10, "R 4.2.2"},
    {"1 2 3 4", "1.65", false, 5.96816802862, 1e-10, "R 4.2.2"},
    {"30 30 30", "1.65", false, 30, 1e-12, "values without any spread"},
};

static void the_z_and_the_deviation_of_the_rule_are_used(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, rows[i].values);
        struct stat_input input = {.values = values.items,
                                   .count = values.count,
                                   .z = exact_from_text(mem, rows[i].z),
                                   .population_deviation = rows[i].population};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_done(statistic_work_out(mem, &stat_log_normal_percentile, &input, &figure, &err),
                    &err);
        assert_near(exact_double(figure), rows[i].expected, rows[i].relative, rows[i].source);
    }
}

static const struct {
    const char *values;
    const char *z;
    const char *says;
} refused[] = {
    {"10 0 40", "1.28", "a log-normal percentile has no answer for a value of 0"},
    {"10 -1 40", "1.28", "a log-normal percentile has no answer for a value of less than 0"},
    {"10", "1.28", "a log-normal percentile needs two values at least"},
    {"", "1.28", "there is no value to work out a log-normal percentile from"},
    {"10 20", NULL, "a log-normal percentile needs the z of its rule"},
    {"0.000001 1000000", "1000", "the log-normal percentile is too large to be told"},
};

static void what_has_no_answer_is_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, refused[i].values);
        struct stat_input input = {.values = values.items,
                                   .count = values.count,
                                   .z = refused[i].z ? exact_from_text(mem, refused[i].z) : NULL};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_fails(statistic_work_out(mem, &stat_log_normal_percentile, &input, &figure, &err),
                     ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(figure);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_z_and_the_deviation_of_the_rule_are_used),
        cmocka_unit_test(what_has_no_answer_is_refused_with_the_reason),
    };

    return cmocka_run_group_tests_name("stat/lognormal", tests, NULL, NULL);
}

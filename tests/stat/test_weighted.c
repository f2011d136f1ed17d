#include "harness/values.h"

#include "base/macro.h"
#include "stat/weighted.h"

static const struct {
    const char *values;
    const char *weights;
    const char *expected;
    const char *source;
} rows[] = {
    {"10 20 40", "1 2 1", "22.5", "R: weighted.mean(c(10, 20, 40), c(1, 2, 1))"},
    {"5 6 4 9 14 7", "720 700 650 900 1200 800", "40900/4970",
     "sum of the daily loads over the sum of the flows: 8.229376 mg/L"},
    {"5 6 4", "1 0 1", "4.5", "a day without flow does not count"},
    {"1/3 2/3", "1/7 1/7", "0.5", "rationals"},
};

static void a_weighted_mean_is_exact(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, rows[i].values);
        struct values weights = values_read(mem, rows[i].weights);
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_done(weighted_mean(mem, values.items, weights.items, values.count, &figure, &err),
                    &err);
        assert_exact(mem, figure, rows[i].expected);
    }
}

static const struct {
    const char *values;
    const char *weights;
    const char *says;
} refused[] = {
    {"", "", "there is no value to work out a weighted mean from"},
    {"5 6", "0 0", "a weighted mean has no answer where all weights are 0"},
    {"5 6", "3 -1", "a weighted mean has no answer for a weight below 0"},
};

static void what_has_no_weighted_mean_is_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, refused[i].values);
        struct values weights = values_read(mem, refused[i].weights);
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_fails(weighted_mean(mem, values.items, weights.items, values.count, &figure, &err),
                     ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(figure);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_weighted_mean_is_exact),
        cmocka_unit_test(what_has_no_weighted_mean_is_refused),
    };

    return cmocka_run_group_tests_name("stat/weighted", tests, NULL, NULL);
}

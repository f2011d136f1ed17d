#include "trust/duplicates.h"

#include <math.h>

#include "base/macro.h"
#include "harness/cmocka.h"

/* `<0.2` is {0.2, true}. */
static const struct {
    const char *why;
    struct lab_result a;
    struct lab_result b;
    enum pair_answer answer;
    double rpd_percent;
    double rsd_percent;
} pairs[] = {
    {"by hand: 2 of 9", {8, false}, {10, false}, PAIR_COMPARED, 22.222, 15.713},
    {"the other way round", {10, false}, {8, false}, PAIR_COMPARED, 22.222, 15.713},
    {"alike", {7, false}, {7, false}, PAIR_COMPARED, 0, 0},
    {"one is 0: as far as can be", {0, false}, {3, false}, PAIR_COMPARED, 200, 141.421},
    {"below zero", {-8, false}, {-10, false}, PAIR_COMPARED, 22.222, 15.713},
    {"0 and 0 is not 0 %", {0, false}, {0, false}, PAIR_BOTH_ZERO, 0, 0},
    {"two less-thans", {0.2, true}, {0.2, true}, PAIR_BOTH_LESS_THAN, 0, 0},
    {"one less-than", {0.2, true}, {3, false}, PAIR_ONE_LESS_THAN, 0, 0},
};

static void two_results_differ_relative_to_their_mean(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(pairs); i++) {
        struct pair_difference got = pair_compare(&pairs[i].a, &pairs[i].b);

        if (got.answer != pairs[i].answer)
            fail_msg("%s: %s", pairs[i].why, pair_answer_words[got.answer]);
        if (got.answer != PAIR_COMPARED) {
            assert_true(isnan(got.rpd_percent));
            continue;
        }
        assert_float_equal(got.rpd_percent, pairs[i].rpd_percent, 5e-4);
        assert_float_equal(got.rsd_percent, pairs[i].rsd_percent, 5e-4);
    }
}

static void many_replicates_have_a_relative_standard_deviation(void **state)
{
    static const double two[] = {8, 10};
    static const double four[] = {2, 4, 4, 6}; /* squares 8 over 3: 1.63299 of a mean of 4 */
    static const double nothing[] = {1, -1};
    double out = 0;

    (void)state;
    assert_true(replicate_rsd_percent(two, 2, &out));
    assert_float_equal(out, 15.713, 5e-4);
    assert_true(replicate_rsd_percent(four, 4, &out));
    assert_float_equal(out, 40.825, 5e-4);
    assert_false(replicate_rsd_percent(four, 1, &out));
    assert_false(replicate_rsd_percent(nothing, 2, &out));
}

/* US Geological Survey Water-Resources Investigations 01-4255: 2 times the limit and 25 %. */
static const struct {
    const char *why;
    struct lab_result a;
    struct lab_result b;
    bool too_far;
} replicates[] = {
    {"far in both", {1.0, false}, {1.5, false}, true},             /* 0.5, 40 % */
    {"far by percent alone", {0.3, false}, {0.6, false}, false},   /* 0.3, 67 % */
    {"far by amount alone", {10.0, false}, {10.5, false}, false},  /* 0.5, 4.9 % */
    {"just 2 times the limit", {0.5, false}, {0.9, false}, false}, /* 0.4 */
    {"one below, one above 2 times", {0.2, true}, {0.41, false}, true},
    {"one below, one just at 2 times", {0.4, false}, {0.2, true}, false},
    {"both below", {0.2, true}, {0.2, true}, false},
};

static void replicates_are_too_far_apart_by_amount_and_percent(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(replicates); i++) {
        if (replicate_too_far(&replicate_published, &replicates[i].a, &replicates[i].b, 0.2) !=
            replicates[i].too_far)
            fail_msg("%s", replicates[i].why);
    }
}

/* Common laboratory practice, from memory: below 5 times the blank. */
static void a_result_near_its_blank_is_touched_by_it(void **state)
{
    static const struct {
        struct lab_result blank;
        struct lab_result result;
        double times;
        bool touched;
    } rows[] = {
        {{0.4, false}, {1.5, false}, 5, true},  {{0.4, false}, {2.5, false}, 5, false},
        {{0.4, false}, {2.0, false}, 5, false}, {{0.4, false}, {2.5, false}, 10, true},
        {{0.1, false}, {0.3, false}, 5, false}, /* not above its detection limit */
        {{0.1, true}, {0.3, false}, 5, false},  {{0.4, false}, {0.1, true}, 5, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_int_equal(blank_touches(&rows[i].blank, 0.1, &rows[i].result, rows[i].times),
                         rows[i].touched);
}

/* US Geological Survey Water-Resources Investigations 01-4255: all three at once. */
static void an_outlier_is_beyond_quartiles_percentile_and_limit(void **state)
{
    const struct outlier_history history = {2, 4, 8}; /* fence at 4 + 1.5 * 2 = 7 */
    const struct outlier_history narrow = {2, 4, 6.5};

    (void)state;
    assert_true(outlier_is(&outlier_published, &history, 8.1, 0.2));
    assert_false(outlier_is(&outlier_published, &history, 8.0, 0.2)); /* not above the 95th */
    assert_false(outlier_is(&outlier_published, &narrow, 7.0, 0.2));  /* not above the fence */
    assert_true(outlier_is(&outlier_published, &narrow, 7.1, 0.2));
    assert_false(outlier_is(&outlier_published, &history, 8.1, 3)); /* below 3 times the limit */
    assert_true(outlier_is(&outlier_published, &history, 9, 3));
}

static void a_laboratory_limit_above_the_bound_can_not_show_that_it_was_kept(void **state)
{
    static const struct {
        const char *limit;
        const char *bound;
        bool is_floor;
        enum coarse_answer answer;
    } rows[] = {
        {"0.10", "0.1", false, COARSE_FINE},      {"0.11", "0.1", false, COARSE_ABOVE_BOUND},
        {"0.01", "0.1", false, COARSE_FINE},      {"5", "5.0", true, COARSE_FINE},
        {"5.1", "5.0", true, COARSE_ABOVE_FLOOR},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct decimal limit = {0};
        struct decimal bound = {0};

        assert_true(decimal_parse(rows[i].limit, &limit) && decimal_parse(rows[i].bound, &bound));
        assert_int_equal(coarse_for_bound(limit, bound, rows[i].is_floor), rows[i].answer);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_results_differ_relative_to_their_mean),
        cmocka_unit_test(many_replicates_have_a_relative_standard_deviation),
        cmocka_unit_test(replicates_are_too_far_apart_by_amount_and_percent),
        cmocka_unit_test(a_result_near_its_blank_is_touched_by_it),
        cmocka_unit_test(an_outlier_is_beyond_quartiles_percentile_and_limit),
        cmocka_unit_test(a_laboratory_limit_above_the_bound_can_not_show_that_it_was_kept),
    };

    return cmocka_run_group_tests_name("trust/duplicates", tests, NULL, NULL);
}

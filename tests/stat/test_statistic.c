#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/macro.h"
#include "stat/statistic.h"

enum { VALUES_MOST = 24, FIGURES = 7 };

/* Numbers with blanks between them. */
static struct stat_input read_values(struct arena *mem, const char *text)
{
    struct amount *values = ARENA_ARRAY(mem, struct amount, VALUES_MOST);
    struct stat_input input = {.values = values};
    char *rest = arena_strdup(mem, text);

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        assert_true(input.count < VALUES_MOST);
        values[input.count++] = amount_from_exact(exact_from_text(mem, word));
    }

    return input;
}

/* `text` to seven figures; the source prints no more. */
static void assert_statistic(const char *word, const char *values, const char *expected)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct stat_input input = read_values(mem, values);
    const struct statistic *statistic = statistic_find(word);
    const struct exact *figure = NULL;
    struct err err = ERR_INIT;

    assert_non_null(statistic);
    assert_true(statistic_work_out(mem, statistic, &input, &figure, &err));
    assert_string_equal(exact_text(mem, figure, FIGURES), expected);
}

/* Helsel and Hirsch, Statistical Methods in Water Resources, chapter 1, examples A and B. */
#define USGS_A "2 4 8 9 11 11 12"
#define USGS_B "2 4 8 9 11 11 120"
/* The same, exercise 1.1: well yields after Wright 1985. */
#define WELLS "0.001 0.03 0.1 0.003 0.004 0.454 0.007 0.051 0.49 0.02 0.077 1.02"
/* Worked example of rolling statistics; computed with R 4.2.2 (mean, median). */
#define TWENTY "12 7 15 9 22 31 8 11 14 18 26 10 13 9 17 40 12 16 21 19"

static const struct {
    const char *statistic;
    const char *values;
    const char *expected;
    const char *source;
} published[] = {
    {"mean", "22.00 29.00 18.00 10.00", "19.75",
     "wastewater101.net study page on discharge monitoring reports, January 2019: 19.75 mg/L"},
    {"maximum", "22.00 29.00 18.00 10.00", "29", "the same page: 29.00 mg/L on 10 March"},
    {"mean", "34.8612 48.372 27.0216 15.846", "31.5252",
     "the same page, its four daily loads: 31.53 lb/day"},
    {"mean", "5.30 6.21 4.00 5.25 8.72", "5.896", "state agency handout \"DMR Calculations\""},
    {"sum", "5.30 6.21 4.00 5.25 8.72", "29.48", "the same handout"},
    {"geometric mean", "50 100 150 200", "110.6682",
     "the same handout; 110.66819197 by scipy gmean"},
    {"mean", USGS_A, "8.142857", "Helsel and Hirsch ch. 1"},
    {"mean", USGS_B, "23.57143", "Helsel and Hirsch ch. 1"},
    {"median", USGS_A, "9", "Helsel and Hirsch ch. 1"},
    {"median", USGS_B, "9", "Helsel and Hirsch ch. 1: one wild value does not move it"},
    {"geometric mean", USGS_A, "7.015451", "computed with R for the same data"},
    {"geometric mean", USGS_B, "9.747937", "computed with R for the same data"},
    {"mean", WELLS, "0.1880833", "solution of exercise 1.1: 0.188"},
    {"sum", WELLS, "2.257", "solution of exercise 1.1"},
    {"median", WELLS, "0.0405", "solution of exercise 1.1"},
    {"mean", TWENTY, "16.5", "R 4.2.2"},
    {"geometric mean", TWENTY, "14.84948", "R 4.2.2: 14.849477"},
    {"median", TWENTY, "14.5", "R 4.2.2"},
    {"sum", "3.6 4.2 2.6 8.1 16.8 5.6", "40.9", "daily loads of a worked table"},
    {"mean", "3.6 4.2 2.6 8.1 16.8 5.6", "6.816667", "the same table"},
    {"geometric mean", "0.5 1 12 7", "2.54573",
     "Oregon DEQ instructions 2.4.3.3: half the detection limit, and the limit; scipy gmean"},
    {"minimum", TWENTY, "7", "by eye"},
    {"median", "7", "7", "one value is its own middle"},
    {"mean", "1/3 2/3", "0.5", "rationals"},
};

static void figures_agree_with_what_is_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(published); i++)
        assert_statistic(published[i].statistic, published[i].values, published[i].expected);
}

/* Median of the last five of TWENTY, window by window: R 4.2.2 runmed-like loop with median(). */
static void the_median_of_the_last_five_agrees_with_r(void **state)
{
    static const char *const expected[] = {"12", "15", "15", "11", "14", "14", "14", "14",
                                           "14", "13", "13", "13", "13", "16", "17", "19"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct stat_input all = read_values(mem, TWENTY);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(expected); i++) {
        struct stat_input window = {.values = all.values + i, .count = 5};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_true(statistic_work_out(mem, statistic_find("median"), &window, &figure, &err));
        assert_string_equal(exact_text(mem, figure, FIGURES), expected[i]);
    }
}

/* Geometric mean of the last five of TWENTY: exp(mean(log(x))) in R 4.2.2, six figures. */
static void the_geometric_mean_of_the_last_five_agrees_with_r(void **state)
{
    static const char *const expected[] = {
        "12.0062", "14.5159", "14.9088", "14.0121", "15.3066", "14.7045", "14.1962", "14.8441",
        "15.3484", "14.0503", "13.8906", "15.1405", "15.7027", "16.3686", "19.3913", "19.8274"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct stat_input all = read_values(mem, TWENTY);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(expected); i++) {
        struct stat_input window = {.values = all.values + i, .count = 5};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_true(
            statistic_work_out(mem, statistic_find("geometric mean"), &window, &figure, &err));
        assert_string_equal(exact_text(mem, figure, 6), expected[i]);
    }
}

static void a_geometric_mean_of_the_same_value_is_that_value(void **state)
{
    (void)state;
    assert_statistic("geometric mean", "30 30 30", "30");
    assert_statistic("geometric mean", "50 200", "100");
    assert_statistic("geometric mean", "0.1 0.1 0.1 0.1 0.1 0.1 0.1", "0.1");
}

static const struct {
    const char *values;
    const char *says;
} refused[] = {
    {"10 0 40", "a geometric mean has no answer for a value of 0"},
    {"10 -1 40", "a geometric mean has no answer for a value of less than 0"},
    {"", "there is no value to work out a geometric mean from"},
};

static void a_geometric_mean_refuses_zero_and_below_and_nothing(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct stat_input input = read_values(mem, refused[i].values);
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_false(
            statistic_work_out(mem, statistic_find("geometric mean"), &input, &figure, &err));
        assert_string_equal(err.text, refused[i].says);
        assert_null(figure);
    }
}

static void no_statistic_has_an_answer_for_nothing(void **state)
{
    (void)state;
    for (size_t i = 0; statistic_at(i); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct stat_input input = {.count = 0};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_false(statistic_work_out(mem, statistic_at(i), &input, &figure, &err));
        assert_int_equal(err.code, ERR_INVALID);
    }
}

static void the_order_of_values_makes_no_difference(void **state)
{
    static const char *const orders[] = {"3.2 1.7 1/3 8", "8 1/3 1.7 3.2", "1/3 8 3.2 1.7"};

    (void)state;
    for (size_t i = 0; statistic_at(i); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *first = NULL;

        for (size_t k = 0; k < ARRAY_LEN(orders); k++) {
            struct stat_input input = read_values(mem, orders[k]);
            const struct exact *figure = NULL;
            struct err err = ERR_INIT;

            assert_true(statistic_work_out(mem, statistic_at(i), &input, &figure, &err));
            if (!first)
                first = exact_ratio_text(mem, figure);
            assert_string_equal(exact_ratio_text(mem, figure), first);
        }
    }
}

static void every_row_is_found_by_its_word_and_nothing_else_is(void **state)
{
    (void)state;
    for (size_t i = 0; statistic_at(i); i++)
        assert_ptr_equal(statistic_find(statistic_at(i)->word), statistic_at(i));
    assert_null(statistic_find("average"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_agree_with_what_is_published),
        cmocka_unit_test(the_median_of_the_last_five_agrees_with_r),
        cmocka_unit_test(the_geometric_mean_of_the_last_five_agrees_with_r),
        cmocka_unit_test(a_geometric_mean_of_the_same_value_is_that_value),
        cmocka_unit_test(a_geometric_mean_refuses_zero_and_below_and_nothing),
        cmocka_unit_test(no_statistic_has_an_answer_for_nothing),
        cmocka_unit_test(the_order_of_values_makes_no_difference),
        cmocka_unit_test(every_row_is_found_by_its_word_and_nothing_else_is),
    };

    return cmocka_run_group_tests_name("stat/statistic", tests, NULL, NULL);
}

/*
 * Formulas and what they give. Rounding: 0.0105 and 0.0104 at two figures are the example of the
 * US EPA's arsenic rule on rounding (0.011 and 0.010); the means and the geometric mean are those
 * printed in a state's handout on discharge reports (5.30 6.21 4.00 5.25 8.72; 50 100 150 200).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/str.h"
#include "report/live.h"

static struct arena *mem;

static int new_arena(void **state)
{
    (void)state;
    mem = arena_new();

    return 0;
}

static int drop_arena(void **state)
{
    (void)state;
    arena_free(&mem);

    return 0;
}

static double number(const char *text)
{
    return exact_double(exact_from_text(mem, text));
}

static void a_figure_is_a_formula_only_where_it_gives_what_was_judged(void **state)
{
    static const double handout[] = {5.30, 6.21, 4.00, 5.25, 8.72};
    static const double bacteria[] = {50, 100, 150, 200};
    static const double with_zero[] = {0, 4};
    static const struct {
        enum limit_statistic statistic;
        const double *values;
        size_t count;
        const char *judged;
        const char *formula;
        const char *reason;
    } rows[] = {
        {STATISTIC_MEAN, handout, 5, "5.896", "=AVERAGE(R)", "the printed mean"},
        {STATISTIC_MEAN, handout, 5, "5.90", NULL, "rounded is another figure"},
        {STATISTIC_MEDIAN, handout, 5, "5.30", "=MEDIAN(R)", "the middle of five"},
        {STATISTIC_MEDIAN, bacteria, 4, "125", "=MEDIAN(R)", "between the two middle ones"},
        {STATISTIC_GEOMETRIC_MEAN, bacteria, 4, "110.668191970", "=GEOMEAN(R)",
         "fourth root of 150 000 000"},
        {STATISTIC_GEOMETRIC_MEAN, with_zero, 2, "0", NULL, "a zero has no geometric mean"},
        {STATISTIC_MAXIMUM, handout, 5, "8.72", "=MAX(R)", "the highest"},
        {STATISTIC_MINIMUM, handout, 5, "4.00", "=MIN(R)", "the lowest"},
        {STATISTIC_SUM, bacteria, 4, "500", "=SUM(R)", "the sum"},
        {STATISTIC_SUM, bacteria, 4, "500.001", NULL, "nearly is not enough"},
        {STATISTIC_MEAN, handout, 0, "0", NULL, "nothing to work it out from"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct limit limit = {.statistic = rows[i].statistic};
        struct verdict verdict = {.limit = &limit, .figure = exact_from_text(mem, rows[i].judged)};
        struct live_range range = {"R", rows[i].values, rows[i].count};
        const char *formula = live_figure(mem, &verdict, &range, &(struct live_bound){0});

        if (!str_equal(formula, rows[i].formula))
            fail_msg("%s: %s", rows[i].reason, formula ? formula : "none");
    }
}

static void the_worst_of_single_values_is_the_one_furthest_beyond(void **state)
{
    static const double values[] = {6.2, 7.8, 9.1};
    struct limit limit = {
        .bound = {.has_ceiling = true, .ceiling = {90, 1}, .has_floor = true, .floor = {65, 1}}};
    struct verdict verdict = {.limit = &limit, .figure = exact_from_text(mem, "6.2")};
    struct live_range range = {"R", values, 3};
    struct live_bound bound = {"C", "F"};

    (void)state;
    assert_string_equal(live_figure(mem, &verdict, &range, &bound),
                        "=IF(MAX(R)-C>F-MIN(R),MAX(R),MIN(R))");
    verdict.figure = exact_from_text(mem, "9.1");
    assert_null(live_figure(mem, &verdict, &range, &bound));
}

static void rounding_is_a_formula_that_keeps_the_rule(void **state)
{
    static const struct {
        struct rounding rounding;
        const char *figure;
        const char *compared;
        const char *formula;
        const char *reason;
    } rows[] = {
        {{ROUND_NONE, ROUND_TO_DECIMALS, 0}, "29.02", "29.02", "=X", "not rounded"},
        {{ROUND_HALF_UP, ROUND_TO_DECIMALS, 1}, "5.896", "5.9", "=ROUND(X,1)", "one decimal"},
        {{ROUND_HALF_UP, ROUND_TO_DECIMALS, 2},
         "2.675",
         "2.68",
         "=ROUND(X,2)",
         "a tie that no double holds"},
        {{ROUND_HALF_UP, ROUND_TO_DECIMALS, -1}, "25", "30", "=ROUND(X,-1)", "tens"},
        {{ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "-2.5", "-3", "=ROUND(X,0)", "away from zero"},
        {{ROUND_HALF_UP, ROUND_TO_FIGURES, 2},
         "0.0105",
         "0.011",
         "=ROUND(X,1-INT(LOG10(ABS(X))))",
         "printed: 0.011"},
        {{ROUND_HALF_UP, ROUND_TO_FIGURES, 2},
         "0.0104",
         "0.010",
         "=ROUND(X,1-INT(LOG10(ABS(X))))",
         "printed: 0.010"},
        {{ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0},
         "2.5",
         "2",
         "=IF(ROUND(MOD(ABS(X)*10^0,1),9)=0.5,2*ROUND(X*10^0/2,0)/10^0,ROUND(X,0))",
         "a tie goes to the even"},
        {{ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 2},
         "2.345",
         "2.34",
         "=IF(ROUND(MOD(ABS(X)*10^2,1),9)=0.5,2*ROUND(X*10^2/2,0)/10^2,ROUND(X,2))",
         "also one that no double holds"},
        {{ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0}, "2.5", "3", NULL, "what half up would give"},
        {{ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "0", "0", "=X", "zero has no logarithm"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *formula = live_rounding(mem, "X", rows[i].rounding, number(rows[i].figure),
                                            number(rows[i].compared));

        if (!str_equal(formula, rows[i].formula))
            fail_msg("%s: %s", rows[i].reason, formula ? formula : "none");
    }
}

static void a_verdict_is_a_formula_only_where_the_figure_tells_it(void **state)
{
    static const struct {
        bool reached_is_outside;
        enum standing standing;
        const char *compared;
        bool so_far;
        const char *formula;
        const char *reason;
    } rows[] = {
        {false, STANDING_WITHIN, "30", false, "=IF(X>C,\"outside: above 30\",\"within\")",
         "shall not exceed: at the bound is within"},
        {true, STANDING_OUTSIDE, "30", false, "=IF(X>=C,\"outside: at or above 30\",\"within\")",
         "equals or exceeds: it is outside"},
        {false, STANDING_OUTSIDE, "31", true,
         "=IF(X>C,\"so far outside: above 30\",\"so far within\")", "the period still runs"},
        {false, STANDING_OUTSIDE, "29", false, NULL, "evidence in doubt made it outside"},
        {false, STANDING_NOT_ASSESSABLE, "29", false, NULL, "the figure alone does not tell"},
        {false, STANDING_WITHIN, NULL, false, NULL, "there is no figure"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct limit limit = {.bound = {.has_ceiling = true,
                                        .ceiling = {30, 0},
                                        .ceiling_reached_is_outside = rows[i].reached_is_outside}};
        struct verdict verdict = {
            .limit = &limit,
            .standing = rows[i].standing,
            .side = rows[i].standing == STANDING_OUTSIDE ? SIDE_ABOVE : SIDE_NONE,
            .so_far = rows[i].so_far,
            .compared = rows[i].compared ? exact_from_text(mem, rows[i].compared) : NULL,
        };
        const char *formula = live_verdict(mem, &verdict, "X", &(struct live_bound){"C", NULL});

        if (!str_equal(formula, rows[i].formula))
            fail_msg("%s: %s", rows[i].reason, formula ? formula : "none");
    }
}

static void a_less_than_shows_the_rule_it_was_used_by(void **state)
{
    static const struct {
        enum less_than_rule rule;
        char qualifier;
        double value;
        double used;
        const char *formula;
        const char *reason;
    } rows[] = {
        {LESS_THAN_HALF, '<', 0.05, 0.025, "=V/2", "half"},
        {LESS_THAN_AT_LIMIT, '<', 0.05, 0.05, "=V", "at the limit"},
        {LESS_THAN_ZERO, '<', 0.05, 0, NULL, "zero is no sum of its value"},
        {LESS_THAN_STATED, '<', 0.05, 0.01, NULL, "a number the licence states"},
        {LESS_THAN_HALF, '=', 0.31, 0.31, "=V", "a plain value"},
        {LESS_THAN_HALF, '=', 0.31, 0.155, NULL, "half of what is no less-than"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct limit limit = {.less_than = rows[i].rule};
        const char *formula =
            live_used(mem, &limit, rows[i].qualifier, "V", rows[i].value, rows[i].used);

        if (!str_equal(formula, rows[i].formula))
            fail_msg("%s: %s", rows[i].reason, formula ? formula : "none");
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_arena, drop_arena)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_figure_is_a_formula_only_where_it_gives_what_was_judged),
        CASE(the_worst_of_single_values_is_the_one_furthest_beyond),
        CASE(rounding_is_a_formula_that_keeps_the_rule),
        CASE(a_verdict_is_a_formula_only_where_the_figure_tells_it),
        CASE(a_less_than_shows_the_rule_it_was_used_by),
    };

    return cmocka_run_group_tests_name("report/live", tests, NULL, NULL);
}

#include "judge/given.h"

/* Less-thans, greater-thans and not-detecteds: against single values and in figures. */

static void single_values(struct given *given)
{
    given_again(given);
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
}

static const struct {
    const char *value;
    bool reached_is_outside;
    const char *under_ceiling; /* of 30 */
    const char *over_floor;    /* of 5.0 */
    const char *reason;
} alone[] = {
    {"<30", false, "within", "not assessable", "everything below 30 keeps a ceiling of 30"},
    {"<30", true, "within", "not assessable", "none of it reaches 30"},
    {"<31", false, "not assessable", "not assessable", "it may be 30.5"},
    {"<5", false, "within", "outside: below 5.0", "everything below 5 is below the floor"},
    {"<5", true, "within", "outside: at or below 5.0", "everything below 5 is below the floor"},
    {"<4", false, "within", "outside: below 5.0", "and below 4"},
    {"<6", false, "within", "not assessable", "it may be 5.5"},
    {">30", false, "outside: above 30", "within", "everything above 30 is above it"},
    {">30", true, "outside: at or above 30", "within", "everything above 30 is above it"},
    {">31", false, "outside: above 30", "within", "and above 31"},
    {">29", false, "not assessable", "within", "it may be 29.5"},
    {">5", true, "not assessable", "within", "none of it reaches 5"},
    {">4", false, "not assessable", "not assessable", "it may be 4.5"},
    {"ND", false, "not assessable", "not assessable", "not detected, and no limit told"},
};

static void a_single_less_than_stands_for_every_value_it_allows(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(alone); i++)
        for (int statistic = 0; statistic <= 1; statistic++) {
            single_values(given);
            if (statistic == 1) {
                given->limit.period = PERIOD_MONTH;
                given->limit.statistic = STATISTIC_MAXIMUM;
            }
            given->limit.bound =
                (struct limit_bound){.has_ceiling = true,
                                     .ceiling = {30, 0},
                                     .ceiling_reached_is_outside = alone[i].reached_is_outside};
            given_samples(given, arena_printf(given->mem, "3:%s", alone[i].value));
            given_assert(given, alone[i].under_ceiling, alone[i].reason);

            given->limit.bound =
                (struct limit_bound){.has_floor = true,
                                     .floor = {50, 1},
                                     .floor_reached_is_outside = alone[i].reached_is_outside};
            if (statistic == 1)
                given->limit.statistic = STATISTIC_MINIMUM;
            given_assert(given, alone[i].over_floor, alone[i].reason);
        }
}

static void a_maximum_of_less_thans_and_values(void **state)
{
    static const struct {
        const char *samples;
        const char *standing;
        const char *compared;
    } rows[] = {
        {"3:5 10:<10", "within", "<10"},
        {"3:12 10:<10", "within", "12"},
        {"3:12 10:<40", "not assessable", "<40"},
        {"3:31 10:<40", "outside: above 30", "<40"},
        {"3:12 10:>20", "not assessable", ">20"},
        {"3:12 10:>30", "outside: above 30", ">30"},
        {"3:12 10:>20 17:31", "outside: above 30", ">31"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.statistic = STATISTIC_MAXIMUM;
        given_samples(given, rows[i].samples);

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].samples);

        assert_string_equal(verdict.compared_text, rows[i].compared);
    }
}

/*
 * One vector under four rules, limit 5: detection limit 1, quantitation limit 5, results not
 * detected, 4 (between the two), 12 and 7. Zero below the quantitation limit is Ohio EPA's and
 * the 1994 US EPA draft's rule (4.75); zero below the detection limit and the detection limit
 * between is Oregon DEQ's, instructions 2.4.3.3 (5.00); half the detection limit below it and the
 * limit between is Florida DEP's (5.125); half, and estimates as measured, is 5.875. Values that a
 * rule changes before the clause sees them are written as it changes them.
 */
static void one_vector_under_four_rules(void **state)
{
    static const struct {
        const char *samples;
        enum less_than_rule rule;
        const char *figure;
        const char *standing;
    } rows[] = {
        {"3:<1 10:<5 17:12 24:7", LESS_THAN_ZERO, "4.75", "within"},
        {"3:<1 10:1 17:12 24:7", LESS_THAN_ZERO, "5", "within"},
        {"3:<1 10:1 17:12 24:7", LESS_THAN_HALF, "5.125", "outside: above 5"},
        {"3:<1 10:4 17:12 24:7", LESS_THAN_HALF, "5.875", "outside: above 5"},
        {"3:<1 10:4 17:12 24:7", LESS_THAN_AT_LIMIT, "6", "outside: above 5"},
        {"3:<1 10:4 17:12 24:7", LESS_THAN_STATED, "5.8", "outside: above 5"},
    };
    struct given *given = *state;

    given->limit.bound.ceiling = (struct decimal){5, 0};
    given->limit.less_than_stated = (struct decimal){2, 1};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.less_than = rows[i].rule;
        given_samples(given, rows[i].samples);

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].figure);

        assert_string_equal(verdict.figure_text, rows[i].figure);
    }
}

/* Permit definition of "average monthly discharge limitation": 1, 2 and <ML are (1+2+0)/3 = 1. */
static void the_printed_average_with_a_less_than_is_1(void **state)
{
    struct given *given = *state;

    given->limit.less_than = LESS_THAN_ZERO;
    given_samples(given, "3:1 10:2 17:<5");

    struct verdict verdict = given_assert(given, "within", "a permit definition");

    assert_string_equal(verdict.figure_text, "1");
    assert_int_equal(verdict.less_thans, 1);
    assert_string_equal(exact_text(given->mem, verdict.items[2].used, 3), "0");
}

static const struct {
    const char *samples;
    enum less_than_rule rule;
    const char *standing;
    const char *reason;
} in_a_mean[] = {
    {"3:10 10:<5", LESS_THAN_UNSET, "not assessable", "the clause does not say"},
    {"3:100 10:<5", LESS_THAN_UNSET, "outside: above 30", "50 even when it counts as 0"},
    {"3:60 10:<5", LESS_THAN_UNSET, "not assessable", "30 when it counts as 0, 32.5 when as 5"},
    {"3:10 10:<30", LESS_THAN_ZERO, "within", "it does not reach beyond the bound"},
    {"3:10 10:<31", LESS_THAN_ZERO, "not assessable", "it reaches beyond the bound"},
    {"3:70 10:<31", LESS_THAN_ZERO, "outside: above 30", "outside anyway"},
    {"3:10 10:ND", LESS_THAN_ZERO, "within", "zero needs no limit"},
    {"3:10 10:ND", LESS_THAN_STATED, "within", "nor does a stated number"},
    {"3:10 10:ND", LESS_THAN_HALF, "not assessable", "half of what"},
    {"3:10 10:ND", LESS_THAN_AT_LIMIT, "not assessable", "which limit"},
    {"3:10 10:ND", LESS_THAN_UNSET, "not assessable", "nothing is said"},
    {"3:70 10:ND", LESS_THAN_UNSET, "outside: above 30", "35 when it counts as 0"},
};

static void a_less_than_in_a_mean(void **state)
{
    struct given *given = *state;

    given->limit.less_than_stated = (struct decimal){5, 1};
    for (size_t i = 0; i < ARRAY_LEN(in_a_mean); i++) {
        given_again(given);
        given->limit.less_than = in_a_mean[i].rule;
        given_samples(given, in_a_mean[i].samples);
        given_assert(given, in_a_mean[i].standing, in_a_mean[i].reason);
    }
}

static void any_less_than_over_a_floor_stops_a_mean(void **state)
{
    struct given *given = *state;

    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {50, 1}};
    given->limit.less_than = LESS_THAN_AT_LIMIT;
    given_samples(given, "3:9 10:<2");
    given_assert(given, "not assessable", "5.5 with 2, 4.5 with 0");
    given_again(given);
    given_samples(given, "3:6 10:<2");
    given_assert(given, "outside: below 5.0", "4 with 2: outside anyway");
    given_again(given);
    given->limit.bound.has_ceiling = true;
    given->limit.bound.ceiling = (struct decimal){30, 0};
    given_samples(given, "3:9 10:<2");
    given_assert(given, "not assessable", "a ceiling above it changes nothing");
}

static void a_not_detected_alone_uses_a_rule_that_needs_no_limit(void **state)
{
    struct given *given = *state;

    single_values(given);
    given->limit.less_than = LESS_THAN_ZERO;
    given_samples(given, "3:ND");
    given_assert(given, "within", "zero is under 30");
    given->limit.less_than = LESS_THAN_HALF;
    given_assert(given, "not assessable", "half of a limit that nobody told");
}

static const struct {
    const char *samples;
    enum greater_than_rule rule;
    const char *figure;
    const char *standing;
    const char *reason;
} greater[] = {
    {"3:10 10:>20", GREATER_THAN_REFUSED, NULL, "not assessable", "refused"},
    {"3:10 10:>60", GREATER_THAN_REFUSED, NULL, "outside: above 30", "35 and more"},
    {"3:10 10:>20", GREATER_THAN_STATED, "17.5", "within", "25 is stated"},
    {"3:10 10:>20", GREATER_THAN_STEP, "15.5", "within", "21 is one step above"},
    {"3:10 10:>20.0", GREATER_THAN_STEP, "15.05", "within", "20.1 is one step above"},
    {"3:10 10:>60", GREATER_THAN_STEP, "35.5", "outside: above 30", "61 is one step above"},
};

static const struct {
    enum limit_statistic statistic;
    enum less_than_rule rule;
    const char *samples;
    const char *words;
} not_told[] = {
    {STATISTIC_MEAN, LESS_THAN_HALF, "3:10 10:20 17:ND",
     "not assessable: 1 sample was not detected with no limit told and is not in the figure (15 "
     "mg/L, monthly mean of 2 samples, not above 30 mg/L)"},
    {STATISTIC_MEAN, LESS_THAN_UNSET, "3:10 10:ND 17:ND",
     "not assessable: 2 samples were not detected with no limit told and are not in the figure "
     "(10 mg/L, monthly mean of 1 sample, not above 30 mg/L)"},
    {STATISTIC_MEAN, LESS_THAN_HALF, "3:ND",
     "not assessable: 1 sample was not detected with no limit told and is not in the figure"},
    {STATISTIC_MEAN, LESS_THAN_HALF, "3:100 10:100 17:ND",
     "outside: above 30 (100 mg/L, monthly mean of 2 samples, 1 not-detected with no limit told, "
     "left out, not above 30 mg/L)"},
    {STATISTIC_MEAN, LESS_THAN_HALF, "3:50 10:ND",
     "not assessable: 1 sample was not detected with no limit told and is not in the figure (50 "
     "mg/L, monthly mean of 1 sample, not above 30 mg/L)"},
    {STATISTIC_MAXIMUM, LESS_THAN_HALF, "3:10 10:12 17:ND",
     "not assessable: 1 sample was not detected with no limit told and is not in the figure (12 "
     "mg/L, monthly maximum of 2 samples, not above 30 mg/L)"},
    {STATISTIC_VALUE, LESS_THAN_UNSET, "3:10 10:12 17:ND",
     "not assessable: 1 sample was not detected with no limit told and can't be compared (12 mg/L, "
     "the nearest of 2 samples, not above 30 mg/L)"},
    {STATISTIC_MEAN, LESS_THAN_ZERO, "3:10 10:20 17:ND",
     "within (10 mg/L, monthly mean of 3 samples, 1 not detected and counted as 0, not above 30 "
     "mg/L)"},
    {STATISTIC_MEAN, LESS_THAN_STATED, "3:10 10:20 17:ND",
     "within (10.5 mg/L, monthly mean of 3 samples, 1 not detected and counted as 1.5, not above "
     "30 mg/L)"},
};

/* It was shown as a 0 that nobody reported: 15 mg/L of two became 10 of three. */
static void a_not_detected_that_no_rule_counts_is_in_no_figure(void **state)
{
    struct given *given = *state;

    given->limit.less_than_stated = (struct decimal){15, 1};
    for (size_t i = 0; i < ARRAY_LEN(not_told); i++) {
        given_again(given);
        given->limit.statistic = not_told[i].statistic;
        given->limit.less_than = not_told[i].rule;
        given_samples(given, not_told[i].samples);
        assert_string_equal(given_verdict(given).words, not_told[i].words);
    }
}

static void a_daily_mean_is_without_the_not_detected_of_its_day(void **state)
{
    struct given *given = *state;

    given->limit.daily = DAILY_MEAN;
    given_samples(given, "3/09:00:10 3/15:00:ND 10:20 17:ND");
    assert_string_equal(given_verdict(given).words,
                        "not assessable: 2 samples were not detected with no limit told and are "
                        "not in the figure (15 mg/L, monthly mean of 2 daily means, not above 30 "
                        "mg/L)");
}

static void a_greater_than_in_a_mean(void **state)
{
    struct given *given = *state;

    given->limit.greater_than_stated = (struct decimal){25, 0};
    for (size_t i = 0; i < ARRAY_LEN(greater); i++) {
        given_again(given);
        given->limit.greater_than = greater[i].rule;
        given_samples(given, greater[i].samples);

        struct verdict verdict = given_assert(given, greater[i].standing, greater[i].reason);

        if (greater[i].figure)
            assert_string_equal(verdict.figure_text, greater[i].figure);
    }
}

/* One step of the last digit is a step of what was reported, not of what it becomes. */
static void a_step_above_is_of_the_reported_digits(void **state)
{
    struct given *given = *state;

    given->limit.greater_than = GREATER_THAN_STEP;

    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given_readings(given, series, "3:>0.02", "g/L");

    struct verdict verdict = given_assert(given, "within", "0.03 g/L");

    assert_string_equal(verdict.figure_text, "30");
}

/* New York DEC frequently asked questions: where < and > meet, > wins, and for a minimum <. */
static void where_both_meet_greater_decides_and_for_a_floor_less(void **state)
{
    struct given *given = *state;

    given->limit.greater_than = GREATER_THAN_STEP;
    given->limit.less_than = LESS_THAN_AT_LIMIT;
    given_samples(given, "3:<4 10:>19");
    assert_string_equal(given_verdict(given).compared_text, ">12");
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {50, 1}};
    assert_string_equal(given_verdict(given).compared_text, "<12");
    given_again(given);
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {30, 0}};
    given_samples(given, "3:<4 10:<8");
    assert_string_equal(given_verdict(given).compared_text, "<6");
}

static void a_geometric_mean_with_a_zero_is_refused_with_the_reason(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_GEOMETRIC_MEAN;
    given_samples(given, "3:10 10:0 17:40");

    struct verdict verdict = given_assert(given, "not assessable", "a zero");

    assert_string_equal(verdict.reason, "a geometric mean has no answer for a value of 0");
}

/* State agency handout "DMR Calculations": the 4th root of 150 000 000 is 110.668. */
static void the_printed_geometric_mean(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_GEOMETRIC_MEAN;
    given->limit.bound.ceiling = (struct decimal){110668, 3};
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 3};
    given_samples(given, "3:50 10:100 17:150 24:200");
    assert_string_equal(given_assert(given, "within", "equal after rounding").compared_text,
                        "110.668");
    given->limit.rounding.rule = ROUND_NONE;
    given_assert(given, "outside: above 110.668", "110.66819");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_single_less_than_stands_for_every_value_it_allows),
        CASE(a_maximum_of_less_thans_and_values),
        CASE(one_vector_under_four_rules),
        CASE(the_printed_average_with_a_less_than_is_1),
        CASE(a_less_than_in_a_mean),
        CASE(any_less_than_over_a_floor_stops_a_mean),
        CASE(a_not_detected_alone_uses_a_rule_that_needs_no_limit),
        CASE(a_not_detected_that_no_rule_counts_is_in_no_figure),
        CASE(a_daily_mean_is_without_the_not_detected_of_its_day),
        CASE(a_greater_than_in_a_mean),
        CASE(a_step_above_is_of_the_reported_digits),
        CASE(where_both_meet_greater_decides_and_for_a_floor_less),
        CASE(a_geometric_mean_with_a_zero_is_refused_with_the_reason),
        CASE(the_printed_geometric_mean),
    };

    return cmocka_run_group_tests_name("judge/figure", tests, NULL, NULL);
}

#include "judge/given.h"

/* How much data is enough for a load, and what rows set aside can do to one. */

/* The sum of daily loads of 1000 m3/day, where the period's mean stands in on other days. */
static void filled_loads(struct given *given, int64_t ceiling_kg)
{
    given->limit.unit = "kg/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.load_gap = LOAD_GAP_PERIOD_MEAN;
    given->limit.bound.ceiling = (struct decimal){ceiling_kg, 0};
    given->to = day_from_civil(2026, 3, 4);
    given_again(given);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "1:1000 2:1000 3:1000 4:1000", "m3/day");
}

/* A day that the mean stands in for has no sample: fewer than asked is never a pass. */
static void a_filled_day_is_no_sample(void **state)
{
    struct given *given = *state;

    filled_loads(given, 100);
    given->limit.least_samples = 3;
    given_samples(given, "1:20");
    assert_string_equal(given_assert(given, "not assessable", "1 of 3").reason,
                        "too few samples: 1 of at least 3");

    filled_loads(given, 100);
    given_samples(given, "1:20 2:20 3:20");
    assert_string_equal(given_assert(given, "within", "3 of 3").figure_text, "80");
}

/* Another result may lower the mean that stands in, so the sum is not beyond whatever is missing.
 */
static void a_sum_made_of_one_result_is_not_beyond_already(void **state)
{
    struct given *given = *state;

    filled_loads(given, 70);
    given->limit.least_samples = 2;
    given_samples(given, "1:20");
    given_assert(given, "not assessable", "80 of one result that stands for four days");

    filled_loads(given, 15);
    given_samples(given, "1:20");
    given->limit.least_samples = 2;
    given_assert(given, "outside: above 15", "20 of the one day already");

    filled_loads(given, 70);
    given_samples(given, "1:20 2:20");
    given_assert(given, "outside: above 70", "80 with enough results");
}

static void without_a_stand_in_too_few_hide_no_sum_beyond(void **state)
{
    struct given *given = *state;

    filled_loads(given, 30);
    given->limit.load_gap = LOAD_GAP_LEFT_OUT;
    given->limit.least_samples = 3;
    given_samples(given, "1:20 2:20");
    given_assert(given, "outside: above 30", "40 already, and more only adds to it");
}

/* 0.06 g/L on one day is a load of 60: not beyond 90 by itself, and more than that in the sum. */
static void a_row_without_a_unit_is_tried_in_a_sum_of_loads(void **state)
{
    struct given *given = *state;

    filled_loads(given, 90);
    given_samples(given, "1:20");
    given_row(given, given_at("2026-03-02T12:00:00Z"), "0.06", NULL);
    given_assert(given, "not assessable",
                 "80 without it, and with 0.06 g/L on one of four days 160");

    filled_loads(given, 90);
    given_samples(given, "1:20");
    given_row(given, given_at("2026-03-02T12:00:00Z"), "0.000001", NULL);
    given_assert(given, "within", "in no unit of it");
}

/* With both the sum is 90, with the high one alone 140. */
static void a_doubtful_low_load_hides_no_doubtful_high_one_in_a_sum(void **state)
{
    struct given *given = *state;

    filled_loads(given, 100);
    given_samples(given, "1:20 2:50? 3:1?");

    assert_true(given_assert(given, "outside: above 100", "140 with the high one").rests_on_doubt);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_filled_day_is_no_sample),
        CASE(a_sum_made_of_one_result_is_not_beyond_already),
        CASE(without_a_stand_in_too_few_hide_no_sum_beyond),
        CASE(a_row_without_a_unit_is_tried_in_a_sum_of_loads),
        CASE(a_doubtful_low_load_hides_no_doubtful_high_one_in_a_sum),
    };

    return cmocka_run_group_tests_name("judge/load_data", tests, NULL, NULL);
}

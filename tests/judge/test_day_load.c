#include "judge/given.h"

/* Loads: of a day, of a month, by flows and by the factor of the licence. */

/* A load of BOD by the flow of the day, in lb/day with the factor 8.34. */
static void load_in_pounds(struct given *given)
{
    given->limit.parameter = "bod5";
    given->limit.unit = "lb/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.load_factor = "8.34";
    given->limit.load_flow_unit = "MGD";
    given->limit.load_concentration_unit = "mg/L";
    given->limit.bound.ceiling = (struct decimal){3153, 2};
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};
}

/*
 * wastewater101.net study page on discharge monitoring reports, January 2019, which follows the
 * Texas permit conventions: daily loads 34.86, 48.37, 27.02 and 15.85, daily average loading 31.53
 * lb/day. Average flow times average concentration times 8.34 is 31.2958: wrong for this rule.
 */
static void the_printed_month_of_flows_and_bod(void **state)
{
    static const struct {
        int day;
        const char *load;
    } loads[] = {{3, "34.86"}, {10, "48.37"}, {17, "27.02"}, {24, "15.85"}};
    struct given *given = *state;

    load_in_pounds(given);
    given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB),
                   "3:22.00 10:29.00 17:18.00 24:10.00", "mg/L");
    given_readings(given, given_series(given, "outfall", "flow", KIND_BY_HAND),
                   "3:0.19 10:0.20 17:0.18 24:0.19", "MGD");

    struct verdict verdict = given_assert(given, "within", "31.53 is not above 31.53");

    assert_string_equal(verdict.compared_text, "31.53");
    assert_string_equal(verdict.figure_text, "31.5252");
    assert_int_equal(verdict.samples, 4);
    for (size_t i = 0; i < ARRAY_LEN(loads); i++)
        assert_string_equal(exact_rounded_text(given->mem, verdict.days[loads[i].day - 1].figure,
                                               given->limit.rounding),
                            loads[i].load);
    given->limit.bound.ceiling = (struct decimal){3130, 2};
    given_assert(given, "outside: above 31.30",
                 "the average of products is not the product of "
                 "averages");
}

/* 10 L/s read by a meter and 12 worked out from a weir are not 22, nor something in between. */
static void water_read_and_worked_out_at_one_place_is_not_counted_twice(void **state)
{
    static const struct {
        unsigned kind;
        const char *flow;
        unsigned kind_beside; /* 0: none */
        const char *load;     /* kg/day of 1 mg/L */
        const char *reason;
    } rows[] = {
        {KIND_PROBE, "3/00:00:10", 0, "0.864", "read"},
        {KIND_DERIVED, "3/00:00:12", 0, "1.0368", "worked out"},
        {KIND_PROBE, "3/00:00:10", KIND_DERIVED, "1.0368", "worked out beside it"},
        {KIND_DERIVED, "3/00:00:12", KIND_PROBE, "1.0368", "in either order"},
    };
    struct given *given = *state;

    load_in_pounds(given);
    given->limit.unit = "kg/day";
    given->limit.load_factor = NULL;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB), "3:1", "mg/L");
        given_readings(given, given_series(given, "outfall", "flow", rows[i].kind), rows[i].flow,
                       "L/s");
        if (rows[i].kind_beside)
            given_readings(given, given_series(given, "outfall", "flow", rows[i].kind_beside),
                           rows[i].kind_beside == KIND_DERIVED ? "3/00:00:12" : "3/12:00:10",
                           "L/s");
        assert_string_equal(given_assert(given, "within", rows[i].reason).figure_text,
                            rows[i].load);
    }
}

/* Exact by the units, one US pound a day of 0.19 MGD and 22 mg/L is 34.88 and not 34.86. */
static void the_factor_is_the_licences_or_exact(void **state)
{
    struct given *given = *state;

    load_in_pounds(given);
    given->limit.load_factor = NULL;
    given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB), "3:22", "mg/L");
    given_readings(given, given_series(given, "outfall", "flow", KIND_BY_HAND), "3:0.19", "MGD");
    assert_string_equal(given_verdict(given).compared_text, "34.88");
}

/* 720 m3/day of 22 mg/L is 15.84 kg/day: m3/day times mg/L over 1000, exact. */
static const struct {
    const char *flow;
    const char *unit;
    const char *load;
} kilograms[] = {
    {"720", "m3/day", "15.84"}, {"0.72", "ML/day", "15.84"}, {"30", "m3/h", "15.84"},
    {"500", "L/min", "15.84"},  {"0.01", "m3/s", "19.008"},
};

static void load_in_kilograms(struct given *given, const char *water)
{
    given->limit.unit = "kg/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_DAY;
    given->limit.flow = (struct limit_flow){"outfall", water};
}

static void loads_in_kilograms_are_exact(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    for (size_t i = 0; i < ARRAY_LEN(kilograms); i++) {
        given_again(given);
        given_samples(given, "3:22");
        given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                       arena_printf(given->mem, "3:%s", kilograms[i].flow), kilograms[i].unit);
        assert_string_equal(given_verdict(given).figure_text, kilograms[i].load);
    }
}

/* Flow-weighted worked table: daily loads 3.6 4.2 2.6 8.1 16.8 5.6, sum 40.9, mean 6.81667. */
static void the_sum_and_mean_of_a_table_of_loads(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->from = day_from_civil(2026, 3, 1);
    given->to = day_from_civil(2026, 3, 6);
    given_samples(given, "1:5 2:6 3:4 4:9 5:14 6:7");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "1:720 2:700 3:650 4:900 5:1200 6:800", "m3/day");
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){409, 1};
    assert_string_equal(given_assert(given, "within", "40.9 is not above 40.9").figure_text,
                        "40.9");
    given->limit.statistic = STATISTIC_MEAN;
    assert_string_equal(given_verdict(given).figure_text, "6.81666666667");
}

static void days_with_flow_and_no_result(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){100, 0};
    given->to = day_from_civil(2026, 3, 3);
    given_samples(given, "1:20 3:10");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "1:1000 2:2000 3:1000", "m3/day");

    struct verdict verdict = given_assert(given, "not assessable", "the sum lacks a day");

    assert_string_equal(verdict.reason, "flow and no result on 2 March 2026");
    assert_string_equal(verdict.days[1].note, "flow and no result");
    given->limit.bound.ceiling = (struct decimal){25, 0};
    given_assert(given, "outside: above 25", "30 already, whatever the day had");

    given->limit.load_gap = LOAD_GAP_PERIOD_MEAN;
    given->limit.bound.ceiling = (struct decimal){60, 0};
    verdict = given_assert(given, "within", "the mean of 20 and 10 stands in: 30 more");
    assert_string_equal(verdict.figure_text, "60");
    assert_true(verdict.days[1].filled);
    assert_false(verdict.days[0].filled);

    given->limit.load_gap = LOAD_GAP_LEFT_OUT;
    given->limit.statistic = STATISTIC_MEAN;
    verdict = given_assert(given, "within", "a mean is over days with a result");
    assert_string_equal(verdict.figure_text, "15");
    assert_int_equal(verdict.samples, 2);
}

static void a_day_without_flow_adds_nothing_to_a_sum_and_is_in_no_mean(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->to = day_from_civil(2026, 3, 2);
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000 2:0",
                   "m3/day");
    assert_string_equal(given_assert(given, "within", "nothing flowed").figure_text, "20");
    given->limit.statistic = STATISTIC_MEAN;
    assert_string_equal(given_assert(given, "within", "the mean of one day").figure_text, "20");
}

static void a_result_without_a_flow_has_no_load(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "1:20 3:10");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");
    assert_string_equal(given_assert(given, "not assessable", "no flow on the 3rd").reason,
                        "no flow known on 3 March 2026");
    given->limit.bound.ceiling = (struct decimal){15, 0};
    given_assert(given, "outside: above 15", "20 on the 1st");
}

static void a_load_of_a_less_than(void **state)
{
    static const struct {
        enum less_than_rule rule;
        const char *sample;
        const char *standing;
        const char *reason;
    } rows[] = {
        {LESS_THAN_HALF, "3:<20", "within", "10 kg, and 20 at most"},
        {LESS_THAN_HALF, "3:<40", "not assessable", "20 kg, and 40 at most"},
        {LESS_THAN_HALF, "3:<80", "outside: above 30", "40 kg by the clause's own rule"},
        {LESS_THAN_UNSET, "3:<20", "not assessable", "no rule"},
    };
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.less_than = rows[i].rule;
        given_samples(given, rows[i].sample);
        given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:1000",
                       "m3/day");
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

static void a_doubtful_flow_can_stop_and_never_clear(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:2000?", "m3/day");
    assert_true(given_assert(given, "outside: above 30", "40 kg with it").rests_on_doubt);
    given_again(given);
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:1000?", "m3/day");
    given_assert(given, "not assessable", "20 kg only with it");
}

static void the_flow_of_a_load_is_taken_from_any_kind(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->to = given->from;
    given->limit.kinds = KIND_GRAB;
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");
    assert_string_equal(given_assert(given, "within", "20 kg by a probe's flow").figure_text, "20");
}

static void a_flow_that_is_only_known_to_be_more_clears_nothing(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:>1000", "m3/day");
    given_assert(given, "not assessable", "20 kg and more");
    given_again(given);
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:<1000", "m3/day");
    assert_string_equal(given_assert(given, "within", "20 kg at most").figure_text, "20");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(the_printed_month_of_flows_and_bod),
        CASE(water_read_and_worked_out_at_one_place_is_not_counted_twice),
        CASE(the_factor_is_the_licences_or_exact),
        CASE(loads_in_kilograms_are_exact),
        CASE(the_sum_and_mean_of_a_table_of_loads),
        CASE(days_with_flow_and_no_result),
        CASE(a_day_without_flow_adds_nothing_to_a_sum_and_is_in_no_mean),
        CASE(a_result_without_a_flow_has_no_load),
        CASE(a_load_of_a_less_than),
        CASE(a_doubtful_flow_can_stop_and_never_clear),
        CASE(the_flow_of_a_load_is_taken_from_any_kind),
        CASE(a_flow_that_is_only_known_to_be_more_clears_nothing),
    };

    return cmocka_run_group_tests_name("judge/day_load", tests, NULL, NULL);
}

#include "judge/given.h"

/* Volumes of days from a flow: how long a reading stands, and what is a gap. */

static void total_of_flow(struct given *given, int64_t ceiling_m3)
{
    given->limit.parameter = "flow";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound.ceiling = (struct decimal){ceiling_m3, 0};
}

/* A logger's readings count for the time they stand for; the day of a clock change is shorter. */
static void a_flow_is_weighed_by_time_and_the_length_of_the_day(void **state)
{
    struct given *given = *state;
    struct err err = ERR_INIT;

    total_of_flow(given, 4000);
    given->from = given->to = day_from_civil(2026, 3, 29);

    size_t series = given_series(given, "outfall", "flow", KIND_PROBE);

    given_readings(given, series, "29/00:00:100 29/06:00:200", "m3/h");
    assert_string_equal(given_assert(given, "outside: above 4000", "6 h and 18 h").figure_text,
                        "4200");
    if (!zone_load(given->mem, "Europe/Paris", &given->evidence.zone, &err))
        fail_msg("%s", err.text);
    given_again(given);
    series = given_series(given, "outfall", "flow", KIND_PROBE);
    given_readings(given, series, "28/23:00:100 29/05:00:200", "m3/h");
    assert_string_equal(given_assert(given, "within", "6 h and 17 h of 23").figure_text, "4000");
}

static void a_day_with_a_gap_in_its_flow_has_no_volume(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 9000);
    given->limit.reading_stands_s = 6 * 3600;
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/00:00:100 3/06:00:300 3/12:00:500", "m3/h");

    struct verdict verdict = given_assert(given, "not assessable", "12 h of the day are a gap");

    assert_null(verdict.days[0].volume);
    assert_string_equal(verdict.days[0].note, "flow known for 50 percent of the day");

    given_again(given);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/00:00:100 3/06:00:300 3/12:00:500 3/18:00:100", "m3/h");
    assert_string_equal(given_assert(given, "within", "6 h each").figure_text, "6000");

    given_again(given);
    given->limit.reading_stands_s = 0;
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3/00:00:100",
                   "m3/h");
    verdict = given_assert(given, "within", "nothing was said of how long one stands");
    assert_string_equal(verdict.days[0].note, "a flow was held for 24 hours until the next");
}

/* It said that 0.0 percent of the time was covered. */
static void a_day_of_which_most_is_known_says_so_and_why_it_has_no_total(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 9000);
    given->limit.reading_stands_s = 22 * 3600;
    given->limit.least_coverage = (struct decimal){75, 0};
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/00:00:100 3/22:00:100 5/00:00:1", "m3/h");
    assert_string_equal(given_assert(given, "not assessable", "22 of 24 hours").reason,
                        "there is no total on 3 March 2026: flow known for 91 percent of the day, "
                        "and what is missing of a total is not guessed");
}

/* 10 from 18:00 on, and 1 from 06:00: six hours of the one and eighteen of the other. */
static void a_flow_stands_over_midnight_until_the_next(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 77);
    given->limit.reading_stands_s = 12 * 3600;
    given->from = given->to = day_from_civil(2026, 3, 4);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/18:00:10 4/06:00:1 4/18:00:1 5/06:00:1", "m3/h");
    assert_string_equal(given_assert(given, "outside: above 77", "60 + 18").figure_text, "78");

    given_again(given);
    given->limit.bound.ceiling = (struct decimal){240, 0};
    given->limit.reading_stands_s = 48 * 3600;
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/12:00:10 5/12:00:10", "m3/h");
    assert_string_equal(given_assert(given, "within", "no reading of its own").figure_text, "240");
}

/* Water with the outlet on record as shut is none, and no gap: read every hour while it is open. */
/* One reading at midnight made a volume of the day before it, and of the hours before a first one. */
static void nothing_is_known_before_the_first_reading_of_a_flow(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 2000);
    given->limit.reading_stands_s = 24 * 3600;
    given->from = day_from_civil(2026, 3, 3);
    given->to = day_from_civil(2026, 3, 4);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "4/00:00:100",
                   "m3/h");

    struct verdict verdict = given_assert(given, "outside: above 2000", "of the 4th it is known");

    assert_null(verdict.days[0].volume);
    assert_string_equal(verdict.days[0].note, "no flow known");
    assert_non_null(verdict.days[1].volume);

    given_again(given);
    given->limit.standing_rule = STANDS_HALF_WAY;
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "4/06:00:100 4/18:00:100", "m3/h");
    verdict = given_assert(given, "not assessable", "six hours of the 4th are not known");
    assert_string_equal(verdict.days[1].note, "flow known for 75 percent of the day");
}

static void hours_with_the_outlet_shut_and_no_flow_read_are_no_gap(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 1300);
    given->limit.reading_stands_s = 3600;
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/08:00:100 3/09:00:100 3/10:00:100 3/18:00:100 3/19:00:100", "m3/h");
    given_assert(given, "not assessable", "nothing says that it was shut");
    given_readings(given, given_series(given, "outfall", "outlet", KIND_PROBE),
                   "1/00:00:open 3/00:00:shut 3/07:30:open 3/10:30:shut 3/17:00:open 3/20:00:shut",
                   "");
    given->evidence.outlet_series = 1;
    /* From 7:30 to 10:30 and from 17:00 to 20:00. */
    assert_string_equal(given_assert(given, "within", "six hours").figure_text, "600");
    given->evidence.state_holds_s = 4 * 3600;
    given_assert(given, "not assessable", "from 4:00 on it is not known");
    given->evidence.state_holds_s = 0;
    given->readings[1][3].doubt = "the switch sticks";
    given_assert(given, "not assessable", "a record in doubt shows no standstill");
    given->readings[1][3].doubt = NULL;
    given_day(given, 3, DISCHARGE_DISAGREES);
    given_assert(given, "not assessable", "another record says that it was open");
    given->evidence.day_count = 0;
    given->series[1].station = "inlet";
    given_assert(given, "not assessable", "of another place");
}

static void a_gap_with_the_outlet_open_for_longer_than_a_reading_stands_stays_one(void **state)
{
    struct given *given = *state;

    total_of_flow(given, 2300);
    given->limit.reading_stands_s = 3600;
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_readings(given, given_series(given, "outfall", "outlet", KIND_PROBE),
                   "3/00:00:shut 3/08:00:open 3/12:00:shut", "");
    given_series(given, "outfall", "flow", KIND_PROBE);
    given->evidence.outlet_series = 0;
    given_readings(given, 1, "3/08:00:100 3/09:00:100", "m3/h");

    struct verdict verdict = given_assert(given, "not assessable", "from 9:00 to 12:00");

    assert_string_equal(verdict.days[0].note, "flow known for 87 percent of the day");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_flow_is_weighed_by_time_and_the_length_of_the_day),
        CASE(a_day_with_a_gap_in_its_flow_has_no_volume),
        CASE(nothing_is_known_before_the_first_reading_of_a_flow),
        CASE(hours_with_the_outlet_shut_and_no_flow_read_are_no_gap),
        CASE(a_gap_with_the_outlet_open_for_longer_than_a_reading_stands_stays_one),
        CASE(a_day_of_which_most_is_known_says_so_and_why_it_has_no_total),
        CASE(a_flow_stands_over_midnight_until_the_next),
    };

    return cmocka_run_group_tests_name("judge/flow", tests, NULL, NULL);
}

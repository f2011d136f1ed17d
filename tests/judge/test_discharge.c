#include "judge/given.h"

/* Which days are without discharge, and what becomes of a clause then. */

enum { FIRST = 3, LAST = 5 };

static const struct discharge_day *days_of(struct given *given, int outlet, int counter)
{
    return judge_discharge_days(given->mem, &given->evidence, outlet, counter,
                                day_from_civil(2026, 3, FIRST), day_from_civil(2026, 3, LAST));
}

static const struct {
    const char *record; /* of the outlet */
    const char *person; /* what a person stated */
    const char *meter;
    enum discharge_state state; /* of 4 March */
    const char *because;
    const char *reason;
} told[] = {
    {"1:shut", "", "", DISCHARGE_NONE, "outlet shut all day", "shut since before"},
    {"1:open", "", "", DISCHARGE_YES, "the outlet was open", "open since before"},
    {"1:shut 4/10:00:open 4/10:10:shut", "", "", DISCHARGE_YES, "the outlet was open",
     "open for ten minutes"},
    {"1:open 4/00:00:shut 5/00:00:open", "", "", DISCHARGE_NONE, "outlet shut all day",
     "shut from the first instant to the last"},
    {"1:open 4/00:01:shut", "", "", DISCHARGE_YES, "the outlet was open", "open for a minute"},
    {"4/09:00:shut", "", "", DISCHARGE_UNKNOWN, "nothing is known", "what was it before nine"},
    {"", "", "", DISCHARGE_UNKNOWN, "nothing is known", "no record at all"},
    {"1:shut?", "", "", DISCHARGE_UNKNOWN, "nothing is known", "shut, but in doubt"},
    {"1:open?", "", "", DISCHARGE_YES, "the outlet was open", "open, though in doubt"},
    {"1:shut 2:open!", "", "", DISCHARGE_NONE, "outlet shut all day", "open was left out"},
    {"", "4/00:00:shut", "", DISCHARGE_NONE, "a person stated that it was shut", "a person's word"},
    {"1:open", "4/00:00:shut", "", DISCHARGE_DISAGREES,
     "a person stated that it was shut, but the outlet was open", "two that disagree"},
    {"", "", "3/08:00:500 4/08:00:600 5/08:00:600", DISCHARGE_NONE, "the meter did not move",
     "the same reading a day later"},
    {"", "", "3/08:00:500 4/08:00:600 5/08:00:601", DISCHARGE_YES, "the meter moved", "1 m3"},
    {"", "", "4/08:00:600", DISCHARGE_UNKNOWN, "nothing is known", "one reading is no difference"},
    {"1:shut", "", "3/08:00:500 4/08:00:600 5/08:00:650", DISCHARGE_DISAGREES,
     "outlet shut all day, but the meter moved", "it leaks, or the record is wrong"},
    {"1:open", "", "3/08:00:500 4/08:00:600 5/08:00:600", DISCHARGE_DISAGREES,
     "the meter did not move, but the outlet was open", "open, and the meter did not move"},
    {"1:shut", "", "3/08:00:500 4/08:00:600 5/08:00:600", DISCHARGE_NONE, "outlet shut all day",
     "two that agree"},
    {"", "", "3/08:00:600 4/08:00:600 5/08:00:600?", DISCHARGE_UNKNOWN, "nothing is known",
     "a doubtful reading shows no standstill"},
    {"", "", "3/08:00:600 4/08:00:600 5/08:00:601?", DISCHARGE_YES, "the meter moved",
     "a doubtful reading shows that it moved"},
};

static void a_day_is_without_discharge_only_when_something_says_so(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(told); i++) {
        given_again(given);

        size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);
        size_t person = given_series(given, "outfall", "outlet", KIND_BY_HAND);
        size_t meter = given_series(given, "outfall", "discharge-meter", KIND_BY_HAND);

        given_readings(given, record, told[i].record, NULL);
        given_readings(given, person, told[i].person, NULL);
        given_readings(given, meter, told[i].meter, "m3");

        const struct discharge_day *days = days_of(given, (int)record, (int)meter);

        if (days[1].state != told[i].state || strcmp(days[1].because, told[i].because) != 0)
            fail_msg("%s: got %d, %s", told[i].reason, days[1].state, days[1].because);
        assert_int_equal(days[1].day, day_from_civil(2026, 3, 4));
    }
}

static void a_state_older_than_the_longest_silence_is_unknown(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);

    given_readings(given, record, "3/12:00:shut 4/12:00:shut 5/12:00:shut", NULL);
    given->evidence.state_holds_s = 24 * 3600;
    assert_int_equal(days_of(given, (int)record, -1)[1].state, DISCHARGE_NONE);
    given->evidence.state_holds_s = 24 * 3600 - 1;
    assert_int_equal(days_of(given, (int)record, -1)[1].state, DISCHARGE_UNKNOWN);
    given_again(given);
    record = given_series(given, "outfall", "outlet", KIND_PROBE);
    given_readings(given, record, "3/20:00:shut 4/06:00:shut", NULL);
    given->evidence.state_holds_s = 18 * 3600;
    assert_int_equal(days_of(given, (int)record, -1)[1].state, DISCHARGE_NONE);
    given->evidence.state_holds_s = 17 * 3600;
    assert_int_equal(days_of(given, (int)record, -1)[1].state, DISCHARGE_UNKNOWN);
}

static void a_flow_says_nothing_flowed_only_when_read_every_hour(void **state)
{
    struct given *given = *state;
    size_t flow = given_series(given, "outfall", "flow", KIND_PROBE);

    for (int hour = 0; hour < 24; hour++)
        given_readings(given, flow, arena_printf(given->mem, "4/%02d:30:0", hour), "L/s");
    assert_int_equal(days_of(given, -1, (int)flow)[1].state, DISCHARGE_NONE);
    given->readings[flow][20].reported = given_decimal("0.1");
    assert_int_equal(days_of(given, -1, (int)flow)[1].state, DISCHARGE_YES);
    given->series[flow].count = 20;
    assert_int_equal(days_of(given, -1, (int)flow)[1].state, DISCHARGE_UNKNOWN);
}

static void a_flow_of_0_in_doubt_or_left_out_shows_no_standstill(void **state)
{
    struct given *given = *state;
    size_t flow = given_series(given, "outfall", "flow", KIND_PROBE);

    for (int hour = 0; hour < 24; hour++)
        given_readings(given, flow, arena_printf(given->mem, "4/%02d:30:0", hour), "L/s");
    given->readings[flow][7].doubt = "calibration overdue";
    assert_int_equal(days_of(given, -1, (int)flow)[1].state, DISCHARGE_UNKNOWN);
    given->readings[flow][7].doubt = NULL;
    given->readings[flow][7].left_out = "stuck";
    assert_int_equal(days_of(given, -1, (int)flow)[1].state, DISCHARGE_UNKNOWN);
}

static void a_day_still_to_come_is_not_known(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);

    given_readings(given, record, "1:shut", NULL);
    given->evidence.now = given_at("2026-03-04T10:00:00Z");

    const struct discharge_day *days = days_of(given, (int)record, -1);

    assert_int_equal(days[0].state, DISCHARGE_NONE);
    assert_int_equal(days[1].state, DISCHARGE_NONE);
    assert_int_equal(days[2].state, DISCHARGE_UNKNOWN);
}

/*
 * "Zero discharge days shall not be included in the number of daily discharges measured": permit
 * definitions of average monthly discharge limitation.
 */
static void a_day_without_discharge_is_left_out_of_the_mean(void **state)
{
    struct given *given = *state;

    given->limit.only_while_discharging = true;
    given->limit.daily = DAILY_MEAN;
    given_day(given, 3, DISCHARGE_YES);
    given_day(given, 10, DISCHARGE_NONE);
    given_day(given, 17, DISCHARGE_DISAGREES);
    given_samples(given, "3:40 10:0 17:30");

    struct verdict verdict = given_assert(given, "outside: above 30", "35, not 23.3");

    assert_string_equal(verdict.figure_text, "35");
    assert_int_equal(verdict.samples, 2);
    assert_string_equal(verdict.items[1].why_not, "no discharge that day: outlet shut all day");
    given->limit.only_while_discharging = false;
    given_assert(given, "within", "a clause that always applies");
}

static void a_month_without_discharge_has_nothing_due(void **state)
{
    struct given *given = *state;

    given->limit.only_while_discharging = true;
    for (int day = 1; day <= 31; day++)
        given_day(given, day, DISCHARGE_NONE);
    given_samples(given, "10:90");

    struct verdict verdict = given_assert(given, "nothing due", "shut all month");

    assert_string_equal(verdict.words,
                        "nothing due: no discharge, 1 result without discharge not counted");
    assert_null(verdict.figure);
    assert_int_equal(verdict.item_count, 1);
    assert_false(verdict.items[0].counted);
    given->days[30].state = DISCHARGE_UNKNOWN;
    given_assert(given, "not assessable",
                 "one day of which nothing is known counts as discharging");
    given->days[30].state = DISCHARGE_NONE;
    given->evidence.licence_ends = day_from_civil(2026, 3, 1);
    given_assert(given, "not assessable", "the licence had ended");
    given->evidence.licence_ends = DAY_NONE;
    given->evidence.now = given_at("2026-03-10T00:00:00Z");
    given_assert(given, "so far nothing due", "the month runs");
    given->evidence.day_count = 9;
    given_assert(given, "so far nothing due", "nothing is known yet of the days to come");
}

static void a_sample_at_a_shut_outlet_is_kept_and_not_counted(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);

    given_readings(given, record, "3/08:00:open 10/08:00:shut 17/08:00:open 24/08:00:shut?", NULL);
    given->evidence.outlet_series = (int)record;
    given_samples(given, "3:10 10:90 17:11 24:12");
    given->limit.only_while_discharging = true;

    struct verdict verdict = given_assert(given, "within", "90 at a shut outlet");

    assert_int_equal(verdict.samples, 3);
    assert_int_equal(verdict.item_count, 4);
    assert_int_equal(verdict.undischarged, 1);
    assert_non_null(strstr(verdict.words, "within, 1 result without discharge not counted ("));
    assert_string_equal(verdict.items[1].why_not,
                        "the outlet was shut: no sample of the discharge");
    assert_true(verdict.items[3].counted);
    given->readings[record][1].left_out = "written on the wrong day";
    given_assert(given, "outside: above 30", "left out, shut is open as before");
}

/* The meter ran while the outlet was on record as shut: 90 was a sample of nothing, and within. */
static void a_sample_at_a_shut_outlet_stops_where_the_days_records_disagree(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);

    given_readings(given, record, "3/08:00:open 5/08:00:shut 15/08:00:open", NULL);
    given->evidence.outlet_series = (int)record;
    given_samples(given, "4:10 10:90 17:11");
    given->limit.only_while_discharging = true;
    given_day(given, 10, DISCHARGE_DISAGREES);

    struct verdict verdict = given_assert(given, "outside: above 30", "only with what is in doubt");

    assert_true(verdict.rests_on_doubt);
    given->readings[given->evidence.series_count - 1][1].reported = (struct decimal){12, 0};
    given_assert(given, "within", "12 in doubt is within as well");
}

static void a_probe_at_a_shut_outlet_counts_where_the_clause_always_applies(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);
    size_t probe = given_series(given, "outfall", "suspended-solids", KIND_PROBE);

    given_readings(given, record, "3/08:00:open 10/08:00:shut", NULL);
    given_readings(given, probe, "3:10 10:90", "mg/L");
    given->evidence.outlet_series = (int)record;
    given_assert(given, "outside: above 30", "the clause always applies");
    given->limit.only_while_discharging = true;
    given_assert(given, "within", "only while discharging");
}

/* "Also while the outlet is shut", and yet a sample of then was left out: 90 was within. */
static void a_sample_at_a_shut_outlet_counts_where_the_clause_always_applies(void **state)
{
    struct given *given = *state;
    size_t record = given_series(given, "outfall", "outlet", KIND_PROBE);

    given_readings(given, record, "3/08:00:open 10/08:00:shut", NULL);
    given->evidence.outlet_series = (int)record;
    given_samples(given, "3:10 10:90");
    given_assert(given, "outside: above 30", "the clause always applies");
}

static void a_shut_day_without_a_volume_is_no_gap_of_a_sum(void **state)
{
    struct given *given = *state;

    given->limit.parameter = "discharge-meter";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){500, 0};
    given->limit.only_while_discharging = true;
    given->from = day_from_civil(2026, 3, 1);
    given->to = day_from_civil(2026, 3, 3);
    given_day(given, 3, DISCHARGE_NONE);
    given_readings(given, given_series(given, "outfall", "discharge-meter", KIND_BY_HAND),
                   "1/08:00:100 2/08:00:300 3/08:00:600", "m3");
    assert_string_equal(given_assert(given, "within", "500 on two days").figure_text, "500");
    given->days[0].state = DISCHARGE_UNKNOWN;
    given_assert(given, "not assessable", "the 3rd may have discharged");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_day_is_without_discharge_only_when_something_says_so),
        CASE(a_state_older_than_the_longest_silence_is_unknown),
        CASE(a_flow_says_nothing_flowed_only_when_read_every_hour),
        CASE(a_flow_of_0_in_doubt_or_left_out_shows_no_standstill),
        CASE(a_day_still_to_come_is_not_known),
        CASE(a_day_without_discharge_is_left_out_of_the_mean),
        CASE(a_month_without_discharge_has_nothing_due),
        CASE(a_sample_at_a_shut_outlet_is_kept_and_not_counted),
        CASE(a_sample_at_a_shut_outlet_stops_where_the_days_records_disagree),
        CASE(a_probe_at_a_shut_outlet_counts_where_the_clause_always_applies),
        CASE(a_sample_at_a_shut_outlet_counts_where_the_clause_always_applies),
        CASE(a_shut_day_without_a_volume_is_no_gap_of_a_sum),
    };

    return cmocka_run_group_tests_name("judge/discharge", tests, NULL, NULL);
}

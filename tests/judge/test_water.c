#include "judge/explain.h"
#include "judge/given.h"

/* Water in doubt: rows set aside, and doubtful readings, of a flow or a meter. Figures by hand. */

/* Daily loads of solids by a flow, each not above `ceiling` kg; a flow stands for six hours. */
static size_t daily_load(struct given *given, int64_t ceiling, const char *flows)
{
    size_t series = given_series(given, "outfall", "flow", KIND_PROBE);

    given->limit.unit = "kg";
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_DAY;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.load_water = LOAD_WATER_OF_DAY;
    given->limit.load_concentration_unit = "mg/L";
    given->limit.reading_stands_s = 6 * 3600;
    given->limit.bound.ceiling = (struct decimal){ceiling, 0};
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_samples(given, "3/12:00:10");
    given_readings(given, series, flows, "m3/h");

    return series;
}

static const char six_hourly[] = "3/00:00:100 3/06:00:100 3/12:00:100 3/18:00:100";

static struct evidence_set_aside *flow_row(struct given *given, const char *at, const char *value,
                                           const char *unit)
{
    struct evidence_set_aside *row =
        given_row(given, at ? given_at(at) : INSTANT_NONE, value, unit);

    row->parameter = "flow";
    row->from_probe = true;

    return row;
}

/* 2400 m3 of 10 mg/L are 24 kg; three hours at 500 m3/h in place of 100 are 12 kg more. */
static void a_high_flow_set_aside_makes_a_load_outside(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    assert_string_equal(given_assert(given, "within", "24 kg").figure_text, "24");
    flow_row(given, "2026-03-03T09:00:00Z", "500", "m3/h");

    struct verdict verdict = given_assert(given, "outside: above 30", "36 kg");

    assert_true(verdict.rests_on_doubt);
    assert_string_equal(verdict.figure_text, "36");
    assert_int_equal(verdict.set_aside, 1);
    assert_int_equal(verdict.asides_counted, 1);
    assert_true(verdict.asides[0].decided);
}

static void a_low_flow_set_aside_never_hides_a_high_one(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, "2026-03-03T09:00:00Z", "500", "m3/h");
    flow_row(given, "2026-03-03T09:30:00Z", "0", "m3/h");
    flow_row(given, "2026-03-03T15:00:00Z", "0", "m3/h");
    assert_string_equal(given_assert(given, "outside: above 30", "36 kg, not 23").figure_text,
                        "36");
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {20, 0}};
    assert_string_equal(
        given_assert(given, "outside: below 20", "without 100 m3/h for 5.5 h").figure_text, "18.5");
}

static void a_low_doubtful_flow_on_record_never_hides_a_high_one(void **state)
{
    struct given *given = *state;

    daily_load(given, 30,
               "3/00:00:100 3/06:00:100 3/09:00:500? 3/09:30:0? 3/12:00:100 3/18:00:100");
    assert_string_equal(given_assert(given, "outside: above 30", "36 kg").figure_text, "36");
    given->limit.bound.ceiling = (struct decimal){36, 0};
    given_assert(given, "within", "36 kg at most");
}

static void on_straight_lines_too_it_is_the_highest_that_counts(void **state)
{
    struct given *given = *state;

    daily_load(given, 30,
               "3/00:00:100 3/06:00:100 3/08:00:110? 3/09:00:500? 3/10:00:90? 3/12:00:100 "
               "3/18:00:100 3/23:59:100");
    given->limit.standing_rule = STANDS_STRAIGHT_LINE;
    /* Six hours under a triangle 400 high: 1200 m3 of 10 mg/L. */
    assert_string_equal(given_assert(given, "outside: above 30", "36 kg").figure_text, "36");
    given->limit.standing_rule = STANDS_HALF_WAY;
    assert_string_equal(given_assert(given, "outside: above 30", "36 kg").figure_text, "36");
}

/* The 400 adds more to both days together than the 150, and nothing to the first of them. */
static void half_way_each_day_has_the_doubtful_flow_that_brings_it_highest(void **state)
{
    struct given *given = *state;

    daily_load(given, 25,
               "3/00:00:100 3/06:00:100 3/12:00:100 3/18:00:100 3/22:00:150? 4/07:00:400? "
               "4/12:00:100");
    given->limit.standing_rule = STANDS_HALF_WAY;
    given->limit.reading_stands_s = 24 * 3600;
    /* 20 h at 100 and four at 150 m3/h. */
    assert_string_equal(given_assert(given, "outside: above 25", "26 kg").figure_text, "26");
    given->limit.bound.ceiling = (struct decimal){26, 0};
    given_assert(given, "within", "26 kg at most");
}

/* A low one closes a gap, and need not do so longer than another that is higher. */
static void a_low_doubtful_flow_does_not_close_a_gap_that_a_higher_one_closes(void **state)
{
    struct given *given = *state;

    daily_load(given, 30,
               "3/00:00:100 3/05:00:90? 3/06:00:10? 3/10:00:100 3/16:00:100 3/22:00:100");
    /* 5 h at 100, 5 h at 90 and 14 h at 100 m3/h. */
    given->limit.bound.ceiling = (struct decimal){23, 0};
    assert_string_equal(given_assert(given, "outside: above 23", "23.5 kg").figure_text, "23.5");
}

static void a_flow_of_no_readable_unit_stops_and_is_never_outside(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, "2026-03-03T09:00:00Z", "140", NULL);

    struct verdict verdict = given_assert(given, "not assessable", "140 L/s are 504 m3/h");

    assert_true(verdict.rests_on_doubt);
    assert_true(verdict.asides[0].decided);
    given->rows[0].value = given_decimal("0");
    given_assert(given, "within", "nothing in any unit");
    given->limit.bound.ceiling = (struct decimal){20, 0};
    given->rows[0].value = given_decimal("0");
    given_assert(given, "outside: above 20", "a breach stays one");
}

static void a_flow_without_a_number_is_a_gap_of_a_probe_and_stops_of_a_person(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, "2026-03-03T09:00:00Z", NULL, "m3/h");
    given_assert(given, "within", "of a probe");
    given->rows[0].from_probe = false;

    struct verdict verdict = given_assert(given, "not assessable", "by hand it may be any");

    assert_string_equal(verdict.reason, "a reading of the meter or flow was set aside and has no "
                                        "number (line 12: the unit can't be read)");
    assert_true(verdict.asides[0].decided);
}

static void flows_that_contradict_each_other_are_one_flow(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, "2026-03-03T09:00:00Z", "20", "m3/h")->contradicts = "one";
    flow_row(given, "2026-03-03T09:00:00Z", "500", "m3/h")->contradicts = "one";
    assert_string_equal(given_assert(given, "outside: above 30", "by the one").figure_text, "36");
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {22, 0}};
    assert_string_equal(given_assert(given, "outside: below 22", "by the other").figure_text,
                        "21.6");
}

static void a_flow_that_contradicts_a_stored_one_may_stand_in_its_place(void **state)
{
    struct given *given = *state;

    daily_load(given, 23, six_hourly);
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {20, 0}};
    flow_row(given, "2026-03-03T06:00:00Z", "10", "m3/h")->beside_stored = true;
    assert_string_equal(given_assert(given, "outside: below 20", "540 m3 less").figure_text,
                        "18.6");
}

static void a_flow_in_doubt_fills_no_gap(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, "3/00:00:100 3/06:00:100 3/18:00:100");
    given_assert(given, "not assessable", "six hours are not known");
    flow_row(given, "2026-03-03T12:00:00Z", "100", "m3/h");

    struct verdict verdict = given_assert(given, "not assessable", "only with the row");

    assert_true(verdict.rests_on_doubt);
    given->rows[0].value = given_decimal("500");
    given_assert(given, "outside: above 30", "48 kg with it");
}

static void a_flow_of_no_readable_time_or_parameter_may_be_of_any(void **state)
{
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, NULL, "500", "m3/h");
    given_assert(given, "not assessable", "at any time of the day");
    given->rows[0].value = given_decimal("110");
    given_assert(given, "within", "120 m3 more at the very most");
    given->rows[0].value = given_decimal("500");
    given->rows[0].at = given_at("2026-03-03T09:00:00Z");
    given->rows[0].parameter = NULL;
    given->rows[0].station = NULL;
    given_assert(given, "outside: above 30", "its unit is one of a flow");
    given->rows[0].unit = "degC";
    assert_int_equal(given_assert(given, "within", "its unit is of another").set_aside, 0);
}

static void a_doubtful_result_and_a_doubtful_flow_are_weighed_together(void **state)
{
    struct given *given = *state;

    daily_load(given, 40, six_hourly);
    given->limit.statistic = STATISTIC_MEAN;
    given->limit.bound.ceiling = (struct decimal){45, 0};
    given_row(given, given_at("2026-03-03T12:00:00Z"), "20", "mg/L");
    given_assert(given, "within", "36 kg by the mean of both results");
    flow_row(given, "2026-03-03T09:00:00Z", "500", "m3/h");
    assert_string_equal(given_assert(given, "outside: above 45", "3600 m3 of 15 mg/L").figure_text,
                        "54");
}

/* Net of an intake with as much water of 4 mg/L: 24 less 9.6 kg. */
static void less_water_of_the_intake_makes_a_net_load_outside(void **state)
{
    struct given *given = *state;
    size_t series;

    daily_load(given, 16, six_hourly);
    given->limit.against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                                  .place = {"inlet", NULL},
                                                  .flow = {"inlet", "flow"},
                                                  .pairing = PAIR_SAME_DAY};
    series = given_series(given, "inlet", "suspended-solids", KIND_GRAB);
    given_readings(given, series, "3/12:00:4", "mg/L");
    series = given_series(given, "inlet", "flow", KIND_PROBE);
    given_readings(given, series, six_hourly, "m3/h");
    assert_string_equal(given_assert(given, "within", "14.4 kg").figure_text, "14.4");
    flow_row(given, "2026-03-03T06:00:00Z", "500", "m3/h")->station = "inlet";
    flow_row(given, "2026-03-03T12:00:00Z", "10", "m3/h")->station = "inlet";
    assert_string_equal(given_assert(given, "outside: above 16", "540 m3 less come in").figure_text,
                        "16.56");
}

/* Days of 10 and 40 mg/L by the same water: 25; more on the second brings it up, on the first down.
 */
static void water_in_doubt_moves_a_flow_weighted_mean_either_way(void **state)
{
    struct given *given = *state;
    static const struct {
        const char *at;
        const char *flow;
        const char *ceiling;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"2026-03-04T12:00:00Z", "300", "27", "outside: above 27", "more of the 40"},
        {"2026-03-03T12:00:00Z", "0", "27", "outside: above 27", "less of the 10"},
        {"2026-03-03T12:00:00Z", "300", "27", "within", "more of the 10 brings it down"},
        {"2026-03-04T12:00:00Z", "0", "25", "within", "less of the 40 too"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        daily_load(given, 0,
                   "3/00:00:100 3/06:00:100 3/12:00:100 3/18:00:100 "
                   "4/00:00:100 4/06:00:100 4/12:00:100 4/18:00:100");
        given->limit.unit = "mg/L";
        given->limit.daily = DAILY_MEAN;
        given->limit.statistic = STATISTIC_FLOW_WEIGHTED_MEAN;
        given->limit.period = PERIOD_MONTH;
        given->limit.bound.ceiling = given_decimal(rows[i].ceiling);
        given->to = day_from_civil(2026, 3, 4);
        given_readings(given, 1, "4/12:00:40", "mg/L");
        flow_row(given, rows[i].at, rows[i].flow, "m3/h")->beside_stored = true;
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

static void daily_meter(struct given *given, int64_t ceiling, const char *readings)
{
    given->limit.parameter = "discharge-meter";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound.ceiling = (struct decimal){ceiling, 0};
    given->to = day_from_civil(2026, 3, 3);
    given_readings(given, given_series(given, "outfall", "discharge-meter", KIND_BY_HAND), readings,
                   "m3");
}

static void a_meter_row_set_aside_makes_a_day_outside(void **state)
{
    struct given *given = *state;

    daily_meter(given, 800, "1/00:00:5000 2/00:00:5700 3/00:00:6400 4/00:00:7100");
    given_assert(given, "within", "700 a day");
    given_row(given, given_at("2026-03-03T00:00:00Z"), "6600", "m3")->beside_stored = true;
    assert_string_equal(given_assert(given, "outside: above 800", "900 on the 2nd").figure_text,
                        "900");
    given_row(given, given_at("2026-03-02T00:00:00Z"), "5800", "m3")->beside_stored = true;
    assert_string_equal(given_assert(given, "outside: above 800", "still").figure_text, "900");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){2100, 0};
    given_assert(given, "within", "water moved from day to day is no more of it");
    given->limit.bound.ceiling = (struct decimal){2099, 0};
    given_assert(given, "outside: above 2099", "2100 in all");
}

static void a_meter_row_that_falls_is_reset_or_misread_and_clears_nothing(void **state)
{
    struct given *given = *state;

    daily_meter(given, 800, "1/00:00:5000 2/00:00:5700 3/00:00:6400 4/00:00:7100");
    given_row(given, given_at("2026-03-02T12:00:00Z"), "4000", "m3");

    struct verdict verdict = given_assert(given, "within", "below all: 700 are known over it");

    assert_int_equal(verdict.set_aside, 1);
    given->rows[0].value = given_decimal("5100");
    verdict = given_assert(given, "not assessable", "it or the 5700 may be wrong");
    assert_string_equal(verdict.reason, "with a reading in doubt the meter was reset or misread "
                                        "(5700, then 5100) on 1 March 2026");
    assert_true(verdict.asides[0].decided);
}

static void a_meter_row_of_no_readable_unit_is_tried_in_each(void **state)
{
    struct given *given = *state;

    daily_meter(given, 800, "1/00:00:5000 2/00:00:5700 3/00:00:6400 4/00:00:7100");
    given_row(given, given_at("2026-03-03T00:00:00Z"), "6600", NULL)->beside_stored = true;
    given_assert(given, "not assessable", "900 m3 on the 2nd, if it was m3");
    given->limit.bound.ceiling = (struct decimal){699, 0};
    given_assert(given, "outside: above 699", "a breach stays one");
}

static const char *line_with(struct given *given, const char *part)
{
    static const struct explain_choices choices = {.names = NULL};
    struct verdict verdict = given_verdict(given);
    struct explanation lines = judge_explain(given->mem, &verdict, &given->evidence, &choices);

    for (size_t i = 0; i < lines.count; i++)
        if (strstr(lines.items[i], part))
            return lines.items[i];

    return "";
}

static void what_a_row_did_to_the_water_is_told(void **state)
{
    static const char *const outcomes[] = {
        "500 m3/h (the unit can't be read) [file 1 line 12 column 3]: of the meter or flow: with "
        "it "
        "3600 m3 flowed on 3 March 2026, without what is in doubt 2400 m3; counted, though set "
        "aside",
        "of the meter or flow: with it from ",
        "no number (the unit can't be read) [file 1 line 12 column 3]: of the meter or flow: a gap",
        "it may be of any time, and was tried on every day",
        "by itself it changes the water of no day",
    };
    struct given *given = *state;

    daily_load(given, 30, six_hourly);
    flow_row(given, "2026-03-03T09:00:00Z", "500", "m3/h");
    flow_row(given, "2026-03-03T13:00:00Z", "3", NULL);
    flow_row(given, "2026-03-03T14:00:00Z", NULL, "m3/h");
    flow_row(given, NULL, "100", "m3/h");
    flow_row(given, "2026-03-03T15:00:00Z", "100", "m3/h");
    for (size_t i = 0; i < ARRAY_LEN(outcomes); i++)
        if (*line_with(given, outcomes[i]) == '\0')
            fail_msg("not told: %s", outcomes[i]);
    assert_string_not_equal(
        line_with(given, "a row of the meter or flow with a number and a unit that can be read is"),
        "");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_high_flow_set_aside_makes_a_load_outside),
        CASE(a_low_flow_set_aside_never_hides_a_high_one),
        CASE(a_low_doubtful_flow_on_record_never_hides_a_high_one),
        CASE(on_straight_lines_too_it_is_the_highest_that_counts),
        CASE(half_way_each_day_has_the_doubtful_flow_that_brings_it_highest),
        CASE(a_low_doubtful_flow_does_not_close_a_gap_that_a_higher_one_closes),
        CASE(a_flow_of_no_readable_unit_stops_and_is_never_outside),
        CASE(a_flow_without_a_number_is_a_gap_of_a_probe_and_stops_of_a_person),
        CASE(flows_that_contradict_each_other_are_one_flow),
        CASE(a_flow_that_contradicts_a_stored_one_may_stand_in_its_place),
        CASE(a_flow_in_doubt_fills_no_gap),
        CASE(a_flow_of_no_readable_time_or_parameter_may_be_of_any),
        CASE(a_doubtful_result_and_a_doubtful_flow_are_weighed_together),
        CASE(less_water_of_the_intake_makes_a_net_load_outside),
        CASE(water_in_doubt_moves_a_flow_weighted_mean_either_way),
        CASE(a_meter_row_set_aside_makes_a_day_outside),
        CASE(a_meter_row_that_falls_is_reset_or_misread_and_clears_nothing),
        CASE(a_meter_row_of_no_readable_unit_is_tried_in_each),
        CASE(what_a_row_did_to_the_water_is_told),
    };

    return cmocka_run_group_tests_name("judge/water", tests, NULL, NULL);
}

#include "judge/given.h"

/* Days of several places, loads by every water, and flows by every way to stand. */

static const struct limit_place both[] = {{"outfall-2", NULL}};
static const struct limit_flow both_flows[] = {{"outfall-2", "flow"}};

static void flow_of(struct given *given, const char *station, const char *text, const char *unit)
{
    given_readings(given, given_series(given, station, "flow", KIND_PROBE), text, unit);
}

static void load(struct given *given, enum load_water water, enum limit_statistic statistic)
{
    given_again(given);
    given->limit.daily = DAILY_LOAD;
    given->limit.load_water = water;
    given->limit.statistic = statistic;
    given->limit.unit = "kg";
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.bound.ceiling = (struct decimal){1000, 0};
}

/*
 * Volumes 720 700 650 900 1200 800 m3 and 5 6 4 9 14 7 mg/L: loads 3.6 4.2 2.6 8.1 16.8 5.6 kg,
 * together 40.9. The flow-weighted mean concentration is 40900 / 4970 = 8.229376 mg/L, where the
 * mean is 7.5. (The means of both times each other, 6.2125 kg a day, is another rule.)
 */
static const char six_flows[] = "1:720 2:700 3:650 4:900 5:1200 6:800";
static const char six_results[] = "1:5 2:6 3:4 4:9 5:14 6:7";

static void one_month_of_loads_by_each_water(void **state)
{
    static const struct {
        enum load_water water;
        enum limit_statistic statistic;
        const char *figure;
    } rows[] = {
        {LOAD_WATER_OF_DAY, STATISTIC_SUM, "40.9"},
        {LOAD_WATER_OF_DAY, STATISTIC_MEAN, "6.81666666667"},
        {LOAD_WATER_PERIOD_MEAN, STATISTIC_MEAN, "6.2125"},
        {LOAD_WATER_PERIOD_MEAN, STATISTIC_SUM, "37.275"},
        {LOAD_MEAN_TIMES_VOLUME, STATISTIC_SUM, "37.275"},
        {LOAD_WATER_WHILE_SAMPLING, STATISTIC_SUM, "40.9"},
    };
    struct given *given = *state;

    given->to = given->from + 5;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        load(given, rows[i].water, rows[i].statistic);
        given_samples(given, six_results);
        flow_of(given, "outfall", six_flows, "m3/day");
        assert_string_equal(given_assert(given, "within", rows[i].figure).figure_text,
                            rows[i].figure);
    }
}

/*
 * Two samples of a day, at 100 m3/day and at 300: 10 and 20 mg/L. While sampling 1 and 6 kg a day,
 * 3.5 on average; of the day 15 mg/L times 200 m3, 3 kg.
 */
static void the_flow_while_a_sample_was_taken(void **state)
{
    static const struct {
        enum load_water water;
        const char *figure;
    } rows[] = {{LOAD_WATER_WHILE_SAMPLING, "3.5"}, {LOAD_WATER_OF_DAY, "3"}};
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        load(given, rows[i].water, STATISTIC_MEAN);
        given_samples(given, "1/06:00:10 1/18:00:20");
        flow_of(given, "outfall", "1/00:00:100 1/12:00:300", "m3/day");
        assert_string_equal(given_assert(given, "within", rows[i].figure).figure_text,
                            rows[i].figure);
    }
}

static void without_the_flow_while_sampling_there_is_no_load(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    load(given, LOAD_WATER_WHILE_SAMPLING, STATISTIC_MEAN);
    given->limit.reading_stands_s = 3600;
    given_samples(given, "1/06:00:10");
    flow_of(given, "outfall", "1/00:00:100 1/12:00:300", "m3/day");
    assert_string_equal(given_assert(given, "not assessable", "six hours from any flow").reason,
                        "no flow known while a sample was taken on 1 March 2026");
}

/*
 * Okla. Admin. Code 252:606-11-1(3): grabs of a day are flow-weighted to one value. 10 at 100
 * m3/day and 20 at 300: 17.5, where the mean is 15.
 */
static void grabs_of_a_day_weighted_by_their_flows(void **state)
{
    struct given *given = *state;

    given->limit.daily = DAILY_FLOW_WEIGHTED_MEAN;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.bound.ceiling = (struct decimal){16, 0};
    given_samples(given, "1/06:00:10 1/18:00:20");
    flow_of(given, "outfall", "1/00:00:100 1/12:00:300", "m3/day");
    assert_string_equal(given_assert(given, "outside: above 16", "weighted").figure_text, "17.5");
    given->limit.daily = DAILY_MEAN;
    assert_string_equal(given_assert(given, "within", "not weighted").figure_text, "15");
}

/* Also of one alone: else fewer grabs would give a day a mean that more of them did not have. */
static void grabs_without_a_known_flow_leave_a_weighted_mean_open(void **state)
{
    static const struct {
        const char *samples;
        const char *flows;
        const char *reason;
    } rows[] = {
        {"1:10 2:20", "1/00:00:100", "no flow known while a sample was taken on 2 March 2026"},
        {"1:10 2/06:00:90 2:90", "1/00:00:100",
         "no flow known while a sample was taken on 2 March 2026"},
        {"1:10 2:20", "1/00:00:100 2/00:00:0 3/00:00:0", "too few samples: 1 of at least 2"},
        {"1:10 2/06:00:20 2:20", "1/00:00:100 2/00:00:0 3/00:00:0",
         "too few samples: 1 of at least 2"},
    };
    struct given *given = *state;

    given->limit.daily = DAILY_FLOW_WEIGHTED_MEAN;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.reading_stands_s = 86400;
    given->to = given->from + 1;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.least_samples = strncmp(rows[i].reason, "too few", 7) == 0 ? 2 : 0;
        given_samples(given, rows[i].samples);
        flow_of(given, "outfall", rows[i].flows, "m3/day");
        assert_string_equal(given_assert(given, "not assessable", rows[i].samples).reason,
                            rows[i].reason);
    }
    given->limit.least_samples = 0;
    given_assert(given, "within", "nothing flowed on the 2nd");
}

/* Two outfalls: what both discharge is added day by day, and a day that one lacks is a gap. */
static void loads_of_two_places_are_added(void **state)
{
    static const struct {
        const char *second;
        const char *standing;
        const char *reason;
        const char *figure;
    } rows[] = {
        {"1:10 2:20", "within", NULL, "9"}, /* 2 + 1, and 2 + 4 */
        {"1:10", "not assessable", "flow and no result at outfall-2 on 2 March 2026", "3"},
    };
    struct given *given = *state;

    given->to = given->from + 1;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        load(given, LOAD_WATER_OF_DAY, STATISTIC_SUM);
        given->limit.added = both;
        given->limit.added_count = 1;
        given->limit.added_flows = both_flows;
        given_samples(given, "1:20 2:20");
        given_readings(given, given_series(given, "outfall-2", "suspended-solids", KIND_GRAB),
                       rows[i].second, "mg/L");
        flow_of(given, "outfall", "1:100 2:100", "m3/day");
        flow_of(given, "outfall-2", "1:100 2:200", "m3/day");

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].second);

        if (rows[i].reason)
            assert_string_equal(verdict.reason, rows[i].reason);
        assert_string_equal(verdict.figure_text, rows[i].figure);
    }
}

static void totals_of_two_meters_are_added(void **state)
{
    struct given *given = *state;
    size_t series;

    given->to = given->from + 1;
    given->limit.parameter = "discharge-meter";
    given->limit.daily = DAILY_TOTAL;
    given->limit.unit = "m3";
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_DAY;
    given->limit.added = both;
    given->limit.added_count = 1;
    given->limit.bound.ceiling = (struct decimal){130, 0};
    series = given_series(given, "outfall", "discharge-meter", KIND_PROBE);
    given_readings(given, series, "1/00:00:1000 2/00:00:1100 3/00:00:1200", "m3");
    series = given_series(given, "outfall-2", "discharge-meter", KIND_PROBE);
    given_readings(given, series, "1/00:00:50 2/00:00:80 3/00:00:90", "m3");

    struct verdict verdict = given_assert(given, "within", "130 on the first day");

    assert_string_equal(verdict.figure_text, "130");
    given->limit.bound.ceiling = (struct decimal){129, 0};
    given_assert(given, "outside: above 129", "each of them is below it");
}

/*
 * A flow of 0 at midnight, 240 m3/day at 12:00, 0 at the next midnight: to the next 120 m3 and
 * half-way too; on straight lines 120. With 0, 240 and 240 the three part.
 */
static void a_flow_stands_as_the_clause_says(void **state)
{
    static const struct {
        const char *flows;
        enum standing_rule rule;
        const char *figure;
    } rows[] = {
        {"1/00:00:0 1/12:00:240 2/00:00:0", STANDS_TO_NEXT, "120"},
        {"1/00:00:0 1/12:00:240 2/00:00:0", STANDS_HALF_WAY, "120"},
        {"1/00:00:0 1/12:00:240 2/00:00:0", STANDS_STRAIGHT_LINE, "120"},
        {"1/00:00:0 1/12:00:240 2/00:00:240", STANDS_TO_NEXT, "120"},
        {"1/00:00:0 1/12:00:240 2/00:00:240", STANDS_HALF_WAY, "180"},
        {"1/00:00:0 1/12:00:240 2/00:00:240", STANDS_STRAIGHT_LINE, "180"},
        {"1/00:00:0 1/06:00:240 2/00:00:240", STANDS_HALF_WAY, "210"},
        {"1/00:00:100 1/18:00:200 2/00:00:300", STANDS_STRAIGHT_LINE, "175"},
        /* the line from 100 at noon to 300 at noon reaches 200 at midnight */
        {"1/00:00:100 1/12:00:100 2/12:00:300", STANDS_STRAIGHT_LINE, "125"},
    };
    struct given *given = *state;

    given->to = given->from;
    given->limit.parameter = "flow";
    given->limit.daily = DAILY_TOTAL;
    given->limit.unit = "m3";
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){1000, 0};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.standing_rule = rows[i].rule;
        flow_of(given, "outfall", rows[i].flows, "m3/day");

        struct verdict verdict = given_assert(given, "within", rows[i].flows);

        if (strcmp(verdict.figure_text, rows[i].figure) != 0)
            fail_msg("row %zu: %s, not %s", i, verdict.figure_text, rows[i].figure);
    }
}

static void a_long_step_is_a_gap_by_every_rule(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    given->limit.parameter = "flow";
    given->limit.daily = DAILY_TOTAL;
    given->limit.unit = "m3";
    given->limit.statistic = STATISTIC_SUM;
    given->limit.reading_stands_s = 21600;
    for (int rule = STANDS_TO_NEXT; rule <= STANDS_STRAIGHT_LINE; rule++) {
        given_again(given);
        given->limit.standing_rule = (enum standing_rule)rule;
        flow_of(given, "outfall", "1/00:00:1 1/06:00:1 1/18:00:1 2/00:00:1", "m3/day");
        assert_string_equal(given_assert(given, "not assessable", "12 hours").reason,
                            "flow known for 50 percent of the day on 1 March 2026");
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(one_month_of_loads_by_each_water),
        CASE(the_flow_while_a_sample_was_taken),
        CASE(without_the_flow_while_sampling_there_is_no_load),
        CASE(grabs_of_a_day_weighted_by_their_flows),
        CASE(grabs_without_a_known_flow_leave_a_weighted_mean_open),
        CASE(loads_of_two_places_are_added),
        CASE(totals_of_two_meters_are_added),
        CASE(a_flow_stands_as_the_clause_says),
        CASE(a_long_step_is_a_gap_by_every_rule),
    };

    return cmocka_run_group_tests_name("judge/reduce", tests, NULL, NULL);
}

#include "judge/given.h"

/* How much of the time a probe was reading, and what too little of it does. */

/* A probe's readings of 10 every `step_min` minutes, from <= t < until. */
static void every(struct given *given, size_t series, int step_min, const char *from,
                  const char *until, const char *value)
{
    for (instant at = given_at(from); at < given_at(until);
         at += (int64_t)step_min * 60 * SECOND_US)
        given_add(given, series, at, value, "mg/L");
}

static size_t probe(struct given *given)
{
    given_again(given);
    given->limit.kinds = KIND_PROBE;
    given->limit.reading_stands_s = 3600;
    given->limit.least_coverage = (struct decimal){75, 0};
    given->from = given->to = day_from_civil(2026, 3, 3);

    return given_series(given, "outfall", "suspended-solids", KIND_PROBE);
}

static void a_reading_stands_to_the_next_unless_that_is_a_gap(void **state)
{
    static const struct {
        const char *gap_from;
        const char *gap_until;
        const char *percent;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"2026-03-03T12:00:00Z", "2026-03-03T12:00:00Z", "100.0", "within", "no gap"},
        {"2026-03-03T12:00:00Z", "2026-03-03T13:00:00Z", "91.6", "within",
         "from the reading at 11 to that at 13 is a gap of two hours"},
        {"2026-03-03T12:00:00Z", "2026-03-03T17:00:00Z", "75.0", "within", "exactly enough"},
        {"2026-03-03T12:00:00Z", "2026-03-03T18:00:00Z", "70.8", "not assessable", "too little"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        size_t series = probe(given);

        every(given, series, 60, "2026-03-03T00:00:00Z", rows[i].gap_from, "10");
        every(given, series, 60, rows[i].gap_until, "2026-03-04T01:00:00Z", "10");

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        assert_true(verdict.has_coverage);
        assert_string_equal(decimal_text(given->mem, verdict.coverage), rows[i].percent);
    }
}

/* Nobody accredited is on record: all that was read is in doubt, and covers nothing by itself. */
static void what_the_clause_doubts_covers_nothing(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    given->limit.accredited = true;
    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-04T01:00:00Z", "10");

    struct verdict verdict = given_assert(given, "not assessable", "within only with doubt");

    assert_true(verdict.has_coverage);
    assert_string_equal(decimal_text(given->mem, verdict.coverage), "0.0");
}

/* It read "0.0 percent of at least 75", as if nothing had been read. */
static void time_read_in_doubt_is_told_with_the_doubt(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    given->limit.accredited = true;
    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-03T18:00:00Z", "10");

    struct verdict verdict = given_assert(given, "not assessable", "doubted all day");

    assert_string_equal(verdict.reason,
                        "too little of the time was covered: 0.0 percent of at least 75 without "
                        "readings in doubt (not by a laboratory accredited on that date), 70.8 "
                        "percent with them");
}

/* Read every hour, 25 October 2026 has 25 readings in Paris, from midnight or from 02:00. */
static void the_day_of_a_clock_change_is_covered_by_its_own_hours(void **state)
{
    struct given *given = *state;
    struct err err = ERR_INIT;

    if (!zone_load(given->mem, "Europe/Paris", &given->evidence.zone, &err))
        fail_msg("%s", err.text);
    for (int hour = 0; hour <= 2; hour += 2) {
        size_t series = probe(given);

        given->limit.least_coverage = (struct decimal){100, 0};
        given->limit.period = PERIOD_DAY;
        given->limit.daily = DAILY_MEAN;
        given->limit.statistic = STATISTIC_VALUE;
        given->limit.day_starts_hour = hour;
        given->from = given->to = day_from_civil(2026, 10, 25);
        every(given, series, 60, "2026-10-24T20:00:00Z", "2026-10-26T06:00:00Z", "10");
        assert_int_equal(given_assert(given, "within", "25 hours").days[0].readings, 25);
    }
}

static void a_gap_does_not_hide_what_is_already_beyond(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *standing;
    } rows[] = {
        {STATISTIC_VALUE, "outside: above 30"}, {STATISTIC_MAXIMUM, "outside: above 30"},
        {STATISTIC_MEAN, "not assessable"},     {STATISTIC_MEDIAN, "not assessable"},
        {STATISTIC_MINIMUM, "not assessable"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        size_t series = probe(given);

        given->limit.statistic = rows[i].statistic;
        every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-03T06:00:00Z", "40");
        given_assert(given, rows[i].standing, "a quarter of the day is covered");
    }
}

static void doubtful_left_out_and_check_readings_cover_nothing(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-04T01:00:00Z", "10");
    for (size_t i = 6; i < 12; i++)
        given->readings[series][i].doubt = "sensor flat";
    assert_string_equal(decimal_text(given->mem, given_verdict(given).coverage), "70.8");
    for (size_t i = 6; i < 12; i++) {
        given->readings[series][i].doubt = NULL;
        given->readings[series][i].left_out = "probe out of the water";
    }
    given_assert(given, "not assessable", "left out by a person");
    for (size_t i = 6; i < 12; i++)
        given->readings[series][i].left_out = NULL;
    given_assert(given, "within", "all of them count");
}

static void only_the_time_that_has_run_is_asked_for(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    given->evidence.now = given_at("2026-03-03T06:00:00Z");
    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-03T06:00:00Z", "10");

    struct verdict verdict = given_assert(given, "so far within", "five of six hours");

    assert_string_equal(decimal_text(given->mem, verdict.coverage), "83.3");
}

static void days_without_discharge_are_not_asked_for(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    given->to++;
    given->limit.only_while_discharging = true;
    given_day(given, 3, DISCHARGE_YES);
    given_day(given, 4, DISCHARGE_NONE);
    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-04T01:00:00Z", "10");

    struct verdict verdict = given_assert(given, "within", "the 3rd is covered");

    assert_string_equal(decimal_text(given->mem, verdict.coverage), "100.0");
    series = probe(given);
    given->to++;
    given_day(given, 3, DISCHARGE_YES);
    given_day(given, 4, DISCHARGE_NONE);
    every(given, series, 60, "2026-03-03T12:00:00Z", "2026-03-05T01:00:00Z", "10");
    given_assert(given, "not assessable", "the 4th can't make up for half of the 3rd");
}

static void each_day_is_asked_for_by_a_daily_clause(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    given->to++;
    given->limit.period = PERIOD_DAY;
    given->limit.daily = DAILY_MEAN;
    given->limit.statistic = STATISTIC_VALUE;
    every(given, series, 60, "2026-03-03T00:00:00Z", "2026-03-04T12:00:00Z", "10");

    struct verdict verdict = given_assert(given, "not assessable", "half of the 4th");

    assert_string_equal(verdict.reason, "too little of the time was covered on 4 March 2026: 45.8 "
                                        "percent of at least 75");
}

static void a_reading_of_a_span_covers_its_span(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);
    struct evidence_reading *reading =
        given_add(given, series, given_at("2026-03-03T00:00:00Z"), "10", "mg/L");

    reading->until = given_at("2026-03-03T18:00:00Z");
    given_assert(given, "within", "18 of 24 hours");
    reading->until = given_at("2026-03-03T17:59:59Z");
    given_assert(given, "not assessable", "a second less");
}

static void the_reading_before_the_period_stands_into_it(void **state)
{
    struct given *given = *state;
    size_t series = probe(given);

    every(given, series, 60, "2026-03-02T23:30:00Z", "2026-03-04T01:00:00Z", "10");
    assert_string_equal(decimal_text(given->mem, given_verdict(given).coverage), "100.0");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_reading_stands_to_the_next_unless_that_is_a_gap),
        CASE(what_the_clause_doubts_covers_nothing),
        CASE(time_read_in_doubt_is_told_with_the_doubt),
        CASE(the_day_of_a_clock_change_is_covered_by_its_own_hours),
        CASE(a_gap_does_not_hide_what_is_already_beyond),
        CASE(doubtful_left_out_and_check_readings_cover_nothing),
        CASE(only_the_time_that_has_run_is_asked_for),
        CASE(days_without_discharge_are_not_asked_for),
        CASE(each_day_is_asked_for_by_a_daily_clause),
        CASE(a_reading_of_a_span_covers_its_span),
        CASE(the_reading_before_the_period_stands_into_it),
    };

    return cmocka_run_group_tests_name("judge/coverage", tests, NULL, NULL);
}

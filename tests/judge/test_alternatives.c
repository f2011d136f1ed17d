#include "judge/given.h"

/* Values that contradict each other of one result, and rows that may be of any day. */

enum { MARCH_DAYS = 31, HOUR_S = 3600 };

/* Two rows of one file that speak of one result at noon. */
static void contradict(struct given *given, int day, const char *one, const char *other)
{
    instant at = given_at(arena_printf(given->mem, "2026-03-%02dT12:00:00Z", day));

    given_row(given, at, one, "mg/L")->contradicts = "lines 4, 7";
    given_row(given, at, other, "mg/L")->contradicts = "lines 4, 7";
}

static void rows_that_contradict_each_other_are_one_sample_and_never_averaged(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12");
    contradict(given, 17, "18.2", "99");

    struct verdict verdict = given_assert(given, "outside: above 30", "40.3 with 99, 13.4 without");

    assert_int_equal(verdict.samples, 3);
    assert_string_equal(verdict.words, "outside: above 30, counting 1 of 2 rows set aside, only "
                                       "with evidence in doubt (40.3333 mg/L, monthly mean "
                                       "of 3 samples, not above 30 mg/L)");
}

static void a_day_of_rows_that_contradict_each_other_has_the_figure_of_one_of_them(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.daily = DAILY_MEAN;
    contradict(given, 17, "18.2", "99");
    assert_string_equal(given_verdict(given).compared_text, "99");
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {20, 0}};
    assert_string_equal(given_verdict(given).compared_text, "18.2");
}

static void they_are_within_only_where_each_of_them_would_be(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){60, 0};
    given_samples(given, "3:10 10:12");
    contradict(given, 17, "18.2", "29");
    given_assert(given, "within", "10 + 12 + 29 is 51; with both of them it would be 69.2");
    given->limit.bound.ceiling = (struct decimal){50, 0};
    given_assert(given, "outside: above 50", "one of them makes it 51");
}

static void a_row_that_contradicts_a_stored_value_stands_in_its_place(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12");
    given_row(given, given_at("2026-03-10T12:00:00Z"), "99", "mg/L")->beside_stored = true;

    struct verdict verdict = given_assert(given, "outside: above 30", "10 and 99");

    assert_int_equal(verdict.samples, 2);
    assert_string_equal(verdict.compared_text, "54.5");
    assert_non_null(strstr(verdict.items[1].why_not, "contradicts it"));
    given_again(given);
    given_samples(given, "3:10 10:12");
    given_row(given, given_at("2026-03-10T12:00:00Z"), "11", "mg/L")->beside_stored = true;
    verdict = given_assert(given, "within", "10 and 12, or 10 and 11");
    assert_int_equal(verdict.samples, 2);
}

static void rows_of_other_instants_or_columns_are_no_alternatives(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12");
    contradict(given, 17, "40", "80");
    given->rows[1].origin.column = 4;
    assert_int_equal(given_verdict(given).samples, 4);
    given->rows[1].origin.column = given->rows[0].origin.column;
    given->rows[1].at += HOUR_US;
    assert_int_equal(given_verdict(given).samples, 4);
}

static void add_every_day(struct given *given, size_t days)
{
    size_t series = given_series(given, given->limit.station, given->limit.parameter, KIND_PROBE);

    for (size_t i = 0; i < days; i++)
        given_add(given, series, given_at("2026-03-01T12:00:00Z") + (instant)i * DAY_US, "10",
                  "mg/L");
}

/* A month of 31 daily figures has no 32nd day: the row is one more reading of one of them. */
static void a_row_of_no_known_time_adds_no_day_to_a_full_month(void **state)
{
    static const struct {
        enum limit_daily daily;
        const char *value;
        const char *figure;
        const char *reason;
    } rows[] = {
        {DAILY_MAXIMUM, "45.5", "345.5", "one day's highest is 45.5"},
        {DAILY_MAXIMUM, "5", "310", "no day's highest falls by it"},
        {DAILY_MEAN, "45.5", "327.75", "one day's mean is that of 10 and 45.5"},
        {DAILY_MINIMUM, "45.5", "310", "no day's lowest rises by it"},
    };
    struct given *given = *state;

    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){320, 0};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.daily = rows[i].daily;
        add_every_day(given, MARCH_DAYS);
        given_row(given, INSTANT_NONE, rows[i].value, "mg/L");

        struct verdict verdict = given_verdict(given);

        if (strcmp(verdict.compared_text, rows[i].figure) != 0)
            fail_msg("%s: %s", rows[i].reason, verdict.words);
        assert_int_equal(verdict.samples, MARCH_DAYS);
    }
}

static void a_row_of_no_known_time_is_told_beside_the_daily_figures(void **state)
{
    struct given *given = *state;

    given->limit.daily = DAILY_MAXIMUM;
    given->limit.bound.ceiling = (struct decimal){11, 0};
    add_every_day(given, 2);
    given_row(given, INSTANT_NONE, "16", "mg/L");
    assert_string_equal(given_verdict(given).words,
                        "outside: above 11, counting 1 row set aside, only with evidence in doubt "
                        "(12 mg/L, monthly mean of 2 daily highest readings and 1 row set aside "
                        "that may be of any day, not above 11 mg/L)");
}

/* 13.1 is a value: whatever day it is of, no change of 13.1 was read. */
static void a_value_set_aside_is_no_change_and_no_count(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *reason;
    } rows[] = {
        {STATISTIC_CHANGE, "a change"},
        {STATISTIC_RATE, "a rate"},
        {STATISTIC_TIME_OUTSIDE, "a time"},
        {STATISTIC_COUNT_BEYOND, "a count"},
    };
    struct given *given = *state;

    given->limit.period = PERIOD_DAY;
    given->limit.reading_stands_s = HOUR_S;
    given->limit.bound.ceiling = (struct decimal){2, 0};
    given->limit.settings = (struct statistic_settings){
        .change_span_s = HOUR_S,
        .rate_per_s = HOUR_S,
        .time_unit_s = HOUR_S,
        .beyond = {.has_above = true, .above = {20, 0}},
    };
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.statistic = rows[i].statistic;

        size_t series =
            given_series(given, given->limit.station, given->limit.parameter, KIND_PROBE);

        given_readings(given, series, "3/12:00:10 3/12:30:10.4 3/13:00:10.1", "mg/L");
        given_row(given, INSTANT_NONE, "13.1", "mg/L")->from_probe = true;

        struct verdict verdict = given_verdict(given);

        if (verdict.standing == STANDING_OUTSIDE || strstr(verdict.words, "13.1"))
            fail_msg("%s: %s", rows[i].reason, verdict.words);
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(rows_that_contradict_each_other_are_one_sample_and_never_averaged),
        CASE(a_day_of_rows_that_contradict_each_other_has_the_figure_of_one_of_them),
        CASE(they_are_within_only_where_each_of_them_would_be),
        CASE(a_row_that_contradicts_a_stored_value_stands_in_its_place),
        CASE(rows_of_other_instants_or_columns_are_no_alternatives),
        CASE(a_row_of_no_known_time_adds_no_day_to_a_full_month),
        CASE(a_row_of_no_known_time_is_told_beside_the_daily_figures),
        CASE(a_value_set_aside_is_no_change_and_no_count),
    };

    return cmocka_run_group_tests_name("judge/alternatives", tests, NULL, NULL);
}

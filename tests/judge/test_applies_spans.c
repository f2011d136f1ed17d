#include "judge/applies_spans.h"

#include "judge/given.h"

/* When a clause applied, as stretches, and what is measured over them. */

static double hours_of(struct given *given, const char *from, const char *until, bool or_not_told)
{
    struct applies_spans spans = applies_spans_of(given->mem, &given->evidence, &given->limit,
                                                  given_at(from), given_at(until));

    return (double)applies_time_us(&spans, given_at(from), given_at(until), or_not_told) /
           (double)HOUR_US;
}

static void hours_of_the_day_are_as_long_as_clocks_make_them(void **state)
{
    struct given *given = *state;
    struct err err = ERR_INIT;

    given->limit.hours = (struct limit_hours){true, 60, 5 * 60};
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-12T00:00:00Z", false), 8,
                       0);
    /* Over midnight, cut at both ends. */
    given->limit.hours = (struct limit_hours){true, 22 * 60, 6 * 60};
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-11T00:00:00Z", false), 8,
                       0);
    /* London 2026 (tzdata): clocks jump from 01:00 on 29 March, and go back at 02:00 on 25 October.
     */
    if (!zone_load(given->mem, "Europe/London", &given->evidence.zone, &err))
        fail_msg("%s", err.text);
    given->limit.hours = (struct limit_hours){true, 30, 5 * 60};
    assert_float_equal(hours_of(given, "2026-03-29T00:00:00Z", "2026-03-29T23:00:00Z", false), 3.5,
                       0);
    assert_float_equal(hours_of(given, "2026-10-24T23:00:00Z", "2026-10-26T00:00:00Z", false), 5.5,
                       0);
    /* 01:30 to 02:30 comes as 01:30-02:00, and again whole after clocks went back. */
    given->limit.hours = (struct limit_hours){true, 90, 150};
    assert_float_equal(hours_of(given, "2026-10-24T23:00:00Z", "2026-10-26T00:00:00Z", false), 1.5,
                       0);
    /* Of 00:30 to 01:30 the second half is jumped over in March. */
    given->limit.hours = (struct limit_hours){true, 30, 90};
    assert_float_equal(hours_of(given, "2026-03-29T00:00:00Z", "2026-03-29T23:00:00Z", false), 0.5,
                       0);
}

static void another_reading_applies_until_the_next_or_until_it_is_too_old(void **state)
{
    struct given *given = *state;

    given_readings(given, given_series(given, "river", "flow", KIND_PROBE),
                   "10/00:00:3 10/01:00:1 10/02:00:3", "m3/s");
    given->limit.applies_while =
        (struct limit_while){.other = {.station = "river", .parameter = "flow", .unit = "m3/s"},
                             .has_above = true,
                             .above = {2, 0},
                             .within_s = 4 * 3600};
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-11T00:00:00Z", false), 5,
                       1e-6);
    /* After 06:00 nothing tells. */
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-11T00:00:00Z", true), 23,
                       1e-6);
}

static void tide_hours_are_cut_out_of_the_day(void **state)
{
    static struct tide tides[3];
    static const struct evidence_tides table = {"harbour", tides, ARRAY_LEN(tides)};
    struct given *given = *state;

    tides[0] = (struct tide){given_at("2026-03-10T00:00:00Z"), false};
    tides[1] = (struct tide){given_at("2026-03-10T06:00:00Z"), true};
    tides[2] = (struct tide){given_at("2026-03-10T12:00:00Z"), false};
    given->evidence.tide_tables = &table;
    given->evidence.tide_table_count = 1;
    given->limit.tide = (struct limit_tide){TIDE_HIGH, "harbour", 3600, 7200};
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-10T14:00:00Z", false), 3,
                       1e-6);
    /* Until 02:00 and from 11:00 on a high water that the table lacks could reach in. */
    assert_float_equal(hours_of(given, "2026-03-10T00:00:00Z", "2026-03-10T14:00:00Z", true), 8,
                       1e-6);
}

/* Hourly readings of one day: what is outside at night does not count in hours of the day. */
static void a_time_outside_counts_while_the_clause_applies(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_PROBE);

    given->from = given->to = day_from_civil(2026, 3, 10);
    for (int hour = 0; hour <= 24; hour++)
        given_add(given, series, given_at("2026-03-10T00:00:00Z") + hour * HOUR_US,
                  hour == 7 || hour == 16 || hour == 20 ? "50" : "10", "mg/L");
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_TIME_OUTSIDE;
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {30, 0}};
    given->limit.settings.time_unit_s = 60;
    given->limit.reading_stands_s = 3600;
    given->limit.bound.ceiling = (struct decimal){89, 0};
    (void)given_assert(given, "outside: above 89", "three hours of the whole day");
    given->limit.hours = (struct limit_hours){true, 7 * 60 + 30, 17 * 60};
    assert_string_equal(
        given_assert(given, "outside: above 89", "half an hour and one").figure_text, "90");
    given->limit.statistic = STATISTIC_LONGEST_OUTSIDE;
    assert_string_equal(given_assert(given, "within", "the longest is one hour").figure_text, "60");
}

static void coverage_is_asked_for_while_the_clause_applies(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_PROBE);
    struct verdict verdict;

    given->from = given->to = day_from_civil(2026, 3, 10);
    for (int hour = 8; hour <= 12; hour++)
        given_add(given, series, given_at("2026-03-10T00:00:00Z") + hour * HOUR_US, "10", "mg/L");
    given->limit.reading_stands_s = 3600;
    given->limit.period = PERIOD_DAY;
    given->limit.least_coverage = (struct decimal){75, 0};
    assert_int_equal(given_verdict(given).standing, STANDING_NOT_ASSESSABLE);
    given->limit.hours = (struct limit_hours){true, 8 * 60, 13 * 60};
    verdict = given_assert(given, "within", "four of the five hours");
    assert_string_equal(decimal_text(given->mem, verdict.coverage), "80.0");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(hours_of_the_day_are_as_long_as_clocks_make_them),
        CASE(another_reading_applies_until_the_next_or_until_it_is_too_old),
        CASE(tide_hours_are_cut_out_of_the_day),
        CASE(a_time_outside_counts_while_the_clause_applies),
        CASE(coverage_is_asked_for_while_the_clause_applies),
    };

    return cmocka_run_group_tests_name("judge/applies_spans", tests, NULL, NULL);
}

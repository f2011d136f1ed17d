#include "judge/explain.h"
#include "judge/given.h"

static struct explanation explained(struct given *given)
{
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence);
}

static void assert_lines(const struct explanation *lines, const char *const *expected, size_t count)
{
    for (size_t i = 0; i < lines->count && i < count; i++)
        assert_string_equal(lines->items[i], expected[i]);
    assert_int_equal(lines->count, count);
}

static void a_mean_is_explained_from_its_readings_to_its_verdict(void **state)
{
    static const char *const expected[] = {
        "Suspended solids: monthly mean not above 30 mg/L",
        "clause: Table 1, row 1 of licence example, version 2026-01-01, decided by "
        "example-authority",
        "in its own words: The monthly mean shall not exceed 30 mg/L.",
        "period: 1 March 2026 to 31 March 2026, that is from 2026-03-01 00:00 until 2026-04-01 "
        "00:00 in UTC",
        "readings: suspended-solids at outfall",
        "  2026-03-03 12:00: 10 mg/L, sample S-1, counted as 10 [file 1, row 2, column 1]",
        "  2026-03-10 12:00: <5 mg/L, counted as the number 2.5 [file 1, row 3, column 1]",
        "  2026-03-17 12:00: 90 mg/L, not counted (left out: bottle broken) [file 1, row 4, column "
        "1]",
        "  2026-03-24 12:00: 12 mg/L, corrected, counted as 12 [file 1, row 5, column 1]",
        "  2026-03-25 12:00: 11 mg/L, not counted (in doubt: calibration overdue) [file 1, row 6, "
        "column 1]",
        "less-thans stand for: half; greater-thans: refused",
        "asked for at least 3 samples",
        "figure: 8.16666666667 mg/L, monthly mean of 3 samples",
        "rounded half up to 1 decimal: 8.2",
        "compared: 8.2 with not above 30 mg/L",
        "verdict: within (8.2 mg/L, monthly mean of 3 samples, not above 30 mg/L)",
    };
    struct given *given = *state;

    given->limit.licence_version = "2026-01-01";
    given->limit.wording = "The monthly mean shall not exceed 30 mg/L.";
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.least_samples = 3;
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 1};
    given_samples(given, "3:10 10:<5 17:90! 24:12 25:11?");
    given->readings[0][0].sample = "S-1";
    given->readings[0][3].corrected = true;

    struct explanation lines = explained(given);

    assert_lines(&lines, expected, ARRAY_LEN(expected));
}

static void a_load_is_explained_day_by_day(void **state)
{
    static const char *const expected[] = {
        "Suspended solids: monthly sum of daily loads not above 30 kg/day",
        "clause: Table 1, row 1 of licence example, decided by example-authority",
        "nobody has confirmed yet that this form says what the licence says",
        "period: 1 March 2026 to 3 March 2026, that is from 2026-03-01 00:00 until 2026-03-04 "
        "00:00 in UTC; it still runs",
        "readings: suspended-solids at outfall by grab samples or composite samples, only while "
        "discharging",
        "  2026-03-01 12:00: 20 mg/L, counted as 20 [file 1, row 2, column 1]",
        "each day first: load",
        "  load = mean concentration x water of the day x factor; water from flow at outfall; "
        "factor exact, by the units",
        "  1 March 2026: 1 reading, discharging (the outlet was open), mean concentration 20, "
        "water 1000 m3, load 20 kg/day",
        "  2 March 2026: 0 readings, no discharge (outlet shut all day); no discharge that day: "
        "outlet shut all day",
        "  3 March 2026: 0 readings, discharge not known, so it counts as discharging; the day "
        "still runs",
        "figure: 20 kg/day, monthly sum of 1 daily load",
        "not rounded: 20",
        "compared: 20 with not above 30 kg/day",
        "verdict: so far not assessable: not confirmed: nobody has compared this clause with the "
        "licence (20 kg/day, monthly sum of 1 daily load, not above 30 kg/day)",
    };
    struct given *given = *state;

    given->limit.unit = "kg/day";
    given->limit.kinds = KIND_GRAB | KIND_COMPOSITE;
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.only_while_discharging = true;
    given->limit.confirmed = false;
    given->to = day_from_civil(2026, 3, 3);
    given->evidence.now = given_at("2026-03-03T18:00:00Z");
    given_day(given, 1, DISCHARGE_YES);
    given_day(given, 2, DISCHARGE_NONE);
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");

    struct explanation lines = explained(given);

    assert_lines(&lines, expected, ARRAY_LEN(expected));
}

static bool has_line(const struct explanation *lines, const char *part)
{
    for (size_t i = 0; i < lines->count; i++)
        if (strstr(lines->items[i], part))
            return true;

    return false;
}

static void doubt_and_rows_set_aside_are_named(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given_samples(given, "3:<5 10:40?");
    given_row(given, INSTANT_NONE, "11", "mg/L");

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "40 mg/L, counted as 40, beyond the bound, though in doubt "
                                 "(calibration overdue)"));
    assert_true(has_line(&lines, "rows set aside that could belong here: 1"));
    assert_true(has_line(&lines, "less-thans and greater-thans stand for every value they allow"));
    assert_true(has_line(&lines, "this rests on evidence in doubt"));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_mean_is_explained_from_its_readings_to_its_verdict),
        CASE(a_load_is_explained_day_by_day),
        CASE(doubt_and_rows_set_aside_are_named),
    };

    return cmocka_run_group_tests_name("judge/explain", tests, NULL, NULL);
}

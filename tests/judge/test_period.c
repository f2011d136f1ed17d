/* The days a limit is judged over, and how far its evidence reaches around them. */
#include "harness/cmocka.h"

#include "base/macro.h"
#include "judge/period.h"

static day_number day_of(const char *text)
{
    struct err err = ERR_INIT;
    day_number day = DAY_NONE;

    assert_done(day_parse(text, &day, &err), &err);

    return day;
}

static const struct {
    enum limit_period period;
    int anniversary;
    const char *day;
    const char *from;
    const char *to;
    const char *reason;
} spans[] = {
    {PERIOD_MONTH, 0, "2028-02-10", "2028-02-01", "2028-02-29", "a leap month"},
    {PERIOD_DAY, 0, "2026-02-10", "2026-02-01", "2026-02-28", "days are judged by the month"},
    {PERIOD_WEEK, 0, "2026-12-31", "2026-12-01", "2026-12-31", "weeks too"},
    {PERIOD_LAST_SAMPLES, 0, "2026-05-01", "2026-05-01", "2026-05-31", "and last samples"},
    {PERIOD_QUARTER, 0, "2026-03-31", "2026-01-01", "2026-03-31", "last day of the first quarter"},
    {PERIOD_QUARTER, 0, "2026-10-01", "2026-10-01", "2026-12-31", "first day of the last one"},
    {PERIOD_QUARTER, 0, "2026-06-15", "2026-04-01", "2026-06-30", "within the second"},
    {PERIOD_YEAR, 0, "2028-12-31", "2028-01-01", "2028-12-31", "a calendar year"},
    {PERIOD_LICENCE_YEAR, 701, "2026-07-01", "2026-07-01", "2027-06-30", "on the anniversary"},
    {PERIOD_LICENCE_YEAR, 701, "2026-06-30", "2025-07-01", "2026-06-30", "the day before it"},
    {PERIOD_LICENCE_YEAR, 101, "2026-06-30", "2026-01-01", "2026-12-31", "a calendar year too"},
    {PERIOD_LICENCE_YEAR, 229, "2028-02-29", "2028-02-29", "2029-02-28", "on a leap anniversary"},
    {PERIOD_LICENCE_YEAR, 229, "2028-02-28", "2027-03-01", "2028-02-28", "the day before it"},
    {PERIOD_LICENCE_YEAR, 229, "2027-02-28", "2026-03-01", "2027-02-28", "a year without it"},
    {PERIOD_LICENCE_YEAR, 229, "2027-03-01", "2027-03-01", "2028-02-28", "begins on 1 March"},
    {PERIOD_LICENCE_YEAR, 1115, "2026-01-02", "2025-11-15", "2026-11-14", "begun last year"},
};

static void a_limit_is_judged_over_its_period_or_a_month(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spans); i++) {
        struct limit limit = {.period = spans[i].period, .anniversary = spans[i].anniversary};
        day_number from;
        day_number to;

        judge_period(&limit, day_of(spans[i].day), &from, &to);
        if (from != day_of(spans[i].from) || to != day_of(spans[i].to))
            fail_msg("%s: other days", spans[i].reason);
    }
}

static const struct {
    struct limit limit;
    const char *first;
    const char *last;
    const char *reason;
} reaches[] = {
    {{.period = PERIOD_MONTH}, "2026-05-01", "2026-05-31", "nothing around it"},
    {{.period = PERIOD_DAY}, "2026-05-01", "2026-05-31", "nor around days"},
    {{.period = PERIOD_RUNNING_DAYS, .running_days = 7},
     "2026-04-25",
     "2026-05-31",
     "the week that ends on the 1st"},
    {{.period = PERIOD_WEEK},
     "2026-04-27",
     "2026-05-31",
     "1 May 2026 is a Friday, the 31st a Sunday: weeks from Monday"},
    {{.period = PERIOD_WEEK, .week_starts = 6}, "2026-04-26", "2026-06-06", "weeks from Sunday"},
    {{.period = PERIOD_WEEK, .period_belongs = BELONGS_DAYS},
     "2026-05-01",
     "2026-05-31",
     "weeks cut at the edges"},
    {{.period = PERIOD_MONTH, .across_outside = 2, .across_of = 6},
     "2025-12-01",
     "2026-05-31",
     "six months"},
    {{.period = PERIOD_RUNNING_DAYS, .running_days = 3, .across_outside = 1, .across_of = 2},
     "2026-04-28",
     "2026-05-31",
     "the window before the first one too"},
    {{.period = PERIOD_LAST_SAMPLES, .last_samples = 10},
     "2026-05-01",
     "2026-05-31",
     "last samples go by number"},
};

static void the_evidence_reaches_as_far_as_the_windows(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(reaches); i++) {
        day_number first;
        day_number last;

        judge_reach(&reaches[i].limit, day_of("2026-05-01"), day_of("2026-05-31"), &first, &last);
        if (first != day_of(reaches[i].first) || last != day_of(reaches[i].last))
            fail_msg("%s: other days", reaches[i].reason);
    }
}

static void last_samples_reach_back_by_number(void **state)
{
    struct limit limit = {.period = PERIOD_LAST_SAMPLES, .last_samples = 10};

    (void)state;
    assert_int_equal(judge_samples_before(&limit), 9);
    limit.across_outside = 2;
    limit.across_of = 3;
    assert_int_equal(judge_samples_before(&limit), 11);
    limit.period = PERIOD_MONTH;
    assert_int_equal(judge_samples_before(&limit), 0);
}

/* ISO 8601: 1 January 1970 was a Thursday, so its week began on Monday 29 December 1969. */
static void a_week_begins_on_the_day_that_the_clause_says(void **state)
{
    struct limit limit = {.week_starts = 0};

    (void)state;
    assert_int_equal(period_week_first(&limit, 0), -3);
    assert_int_equal(period_week_first(&limit, 4), 4);
    assert_int_equal(period_week_first(&limit, -4), -10);
    limit.week_starts = 6;
    assert_int_equal(period_week_first(&limit, 2), -4);
    assert_int_equal(period_week_first(&limit, 3), 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_is_judged_over_its_period_or_a_month),
        cmocka_unit_test(the_evidence_reaches_as_far_as_the_windows),
        cmocka_unit_test(last_samples_reach_back_by_number),
        cmocka_unit_test(a_week_begins_on_the_day_that_the_clause_says),
    };

    return cmocka_run_group_tests_name("judge/period", tests, NULL, NULL);
}

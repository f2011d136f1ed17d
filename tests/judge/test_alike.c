#include "judge/given.h"

/* Portions of one sample, and instruments side by side, averaged before anything else. */

static struct evidence_reading *portion(struct given *given, size_t series, const char *at,
                                        const char *value, const char *sample)
{
    struct evidence_reading *reading =
        given_add(given, series, given_at(at), value, given->limit.unit);

    reading->sample = sample;

    return reading;
}

/*
 * EPA effluent guideline statistics aggregate duplicates before anything else (EPA-821-B-97-006,
 * section 3.3.2): grabs of 10 and, in duplicate, of 20 and 30 have a mean of 17.5, not 20.
 */
static void a_duplicate_weighs_no_more_than_a_sample_without_one(void **state)
{
    static const struct {
        enum alike_rule rule;
        const char *figure;
        size_t samples;
    } rows[] = {{ALIKE_AVERAGED, "17.5", 2}, {ALIKE_EACH, "20", 3}};
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.replicates = rows[i].rule;

        size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

        portion(given, series, "2026-03-03T09:00:00Z", "10", "S-1");
        portion(given, series, "2026-03-03T12:00:00Z", "20", "S-2");
        portion(given, series, "2026-03-03T12:05:00Z", "30", "S-2");

        struct verdict verdict = given_assert(given, "within", rows[i].figure);

        assert_string_equal(verdict.figure_text, rows[i].figure);
        assert_int_equal(verdict.samples, rows[i].samples);
    }
}

/* Four results of one bottle are no four samples, whatever each counts as in the figure. */
static void one_bottle_is_one_sample_however_many_portions_it_has(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    portion(given, series, "2026-03-03T09:00:00Z", "50", "S-1");
    for (int i = 0; i < 9; i++)
        portion(given, series, "2026-03-04T09:00:00Z", "10", "S-2");
    given->limit.least_samples = 4;
    assert_non_null(
        strstr(given_assert(given, "not assessable", "two bottles").reason, "2 of at least 4"));
    given->limit.least_samples = 2;
    given_assert(given, "within", "14");
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_SHARE, .percent = {10, 0}};
    given_assert(given, "outside: above 30", "1 of 2 samples is more than 10 %");
}

/* Of the last two samples, one in duplicate: 20 and the mean of 40 and 60, or 40 and 60 alone. */
static void a_duplicate_is_one_of_the_last_samples_or_two_as_the_clause_says(void **state)
{
    static const struct {
        enum alike_rule rule;
        const char *figure;
        size_t windows;
    } rows[] = {{ALIKE_AVERAGED, "35", 2}, {ALIKE_EACH, "50", 3}};
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 2;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.replicates = rows[i].rule;

        size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

        portion(given, series, "2026-03-03T09:00:00Z", "20", "S-1");
        portion(given, series, "2026-03-04T12:00:00Z", "40", "S-2");
        portion(given, series, "2026-03-04T12:00:00Z", "60", "S-2");

        struct verdict verdict = given_assert(given, "outside: above 30", rows[i].figure);

        assert_int_equal(verdict.window_count, rows[i].windows);
        assert_string_equal(verdict.windows[rows[i].windows - 1].figure_text, rows[i].figure);
    }
}

/* A bound of 30 on each sample: portions of 28 and 33 have a mean of 30.5, and of 28 and 31 29.5.
 */
static void averaged_portions_are_compared_as_one(void **state)
{
    static const struct {
        enum alike_rule rule;
        const char *second;
        const char *standing;
    } rows[] = {
        {ALIKE_AVERAGED, "31", "within"},
        {ALIKE_EACH, "31", "outside: above 30"},
        {ALIKE_AVERAGED, "33", "outside: above 30"},
        {ALIKE_AVERAGED, "<31", "within"}, /* below 29.5 */
        {ALIKE_AVERAGED, "<40", "not assessable"},
    };
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.replicates = rows[i].rule;

        size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

        portion(given, series, "2026-03-03T12:00:00Z", "28", "S-2");
        portion(given, series, "2026-03-03T12:00:00Z", rows[i].second, "S-2");
        given_assert(given, rows[i].standing, rows[i].second);
    }
}

/* Two probes at one instant, an hour with one of them only: (10 + 20) / 2, then 30. */
static void instruments_side_by_side(void **state)
{
    static const struct {
        enum alike_rule rule;
        const char *position;
        const char *figure;
        const char *reason;
    } rows[] = {
        {ALIKE_AVERAGED, "top", "22.5", "15 and 30"},
        {ALIKE_EACH, "top", "20", "10, 20 and 30"},
        {ALIKE_AVERAGED, "bottom", "20", "at another depth it is not the same water"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.side_by_side = rows[i].rule;
        given->limit.replicates = ALIKE_AVERAGED;

        size_t first = given_series(given, "outfall", "suspended-solids", KIND_PROBE);
        size_t second = given_series(given, "outfall", "suspended-solids", KIND_PROBE);

        given->series[first].position = "top";
        given->series[second].position = rows[i].position;
        given_readings(given, first, "3/09:00:10", "mg/L");
        given_readings(given, second, "3/09:00:20 3/10:00:30", "mg/L");
        assert_string_equal(given_assert(given, "within", rows[i].reason).figure_text,
                            rows[i].figure);
    }
}

/* A doubtful high portion shows with only what is beyond the bound, hidden by no low one. */
static void a_portion_in_doubt_can_stop_but_not_clear(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.replicates = ALIKE_AVERAGED;

    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    portion(given, series, "2026-03-03T12:00:00Z", "28", "S-2");
    portion(given, series, "2026-03-03T12:00:00Z", "33", "S-2")->doubt = "calibration overdue";

    struct verdict verdict = given_assert(given, "outside: above 30", "(28 + 33) / 2");

    assert_true(verdict.rests_on_doubt);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_duplicate_weighs_no_more_than_a_sample_without_one),
        CASE(one_bottle_is_one_sample_however_many_portions_it_has),
        CASE(a_duplicate_is_one_of_the_last_samples_or_two_as_the_clause_says),
        CASE(averaged_portions_are_compared_as_one),
        CASE(instruments_side_by_side),
        CASE(a_portion_in_doubt_can_stop_but_not_clear),
    };

    return cmocka_run_group_tests_name("judge/alike", tests, NULL, NULL);
}

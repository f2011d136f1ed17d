/*
 * The windows of a limit: weeks, running days, last samples, runs and years. Numbers are invented
 * where no source is named.
 */
#include "judge/given.h"

/* A value a day at noon, one after the other; "-" is a day without. */
static void given_days(struct given *given, const char *first, const char *text)
{
    size_t series = given_series(given, given->limit.station, given->limit.parameter, KIND_GRAB);
    char *rest = arena_strdup(given->mem, text);
    instant at = given_at(arena_printf(given->mem, "%sT12:00:00Z", first));

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        if (strcmp(word, "-") != 0)
            given_add(given, series, at, word, "mg/L");
        at += DAY_US;
    }
}

static void given_span(struct given *given, const char *from, const char *to)
{
    struct err err = ERR_INIT;

    if (!day_parse(from, &given->from, &err) || !day_parse(to, &given->to, &err))
        fail_msg("%s", err.text);
}

/* The figures of all windows, to so many decimals, "?" for one that is not assessable. */
static const char *window_figures(struct given *given, const struct verdict *verdict, int decimals)
{
    char *text = arena_strdup(given->mem, "");
    struct rounding rounding = {.rule = ROUND_HALF_UP, .to = ROUND_TO_DECIMALS, .digits = decimals};

    for (size_t i = 0; i < verdict->window_count; i++) {
        const struct verdict_window *window = &verdict->windows[i];
        const char *figure = window->standing == STANDING_NOT_ASSESSABLE || !window->figure
                                 ? "?"
                                 : exact_rounded_text(given->mem, window->figure, rounding);

        text = arena_printf(given->mem, "%s%s%s", text, i == 0 ? "" : " ", figure);
    }

    return text;
}

/*
 * Two weeks from Monday 1 June 2026. The numbers are arithmetic of the two usual definitions: a
 * calendar week (Okla. Admin. Code 252:606-11-1(2)) and any seven days in a row (40 CFR
 * 133.101(a), from memory).
 */
static const char fortnight[] = "20 30 40 50 40 30 20 60 55 50 45 20 15 10";

static void calendar_weeks_keep_what_running_days_break(void **state)
{
    struct given *given = *state;

    given->limit.bound.ceiling = (struct decimal){40, 0};
    given_span(given, "2026-06-01", "2026-06-14");
    given_days(given, "2026-06-01", fortnight);
    given->limit.period = PERIOD_WEEK;

    struct verdict weeks = given_assert(given, "within", "two calendar weeks");

    assert_string_equal(window_figures(given, &weeks, 2), "32.86 36.43");

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 7;
    given_span(given, "2026-06-07", "2026-06-14");

    struct verdict running = given_assert(given, "outside: above 40", "seven days in a row");

    assert_string_equal(window_figures(given, &running, 2),
                        "32.86 38.57 42.14 43.57 42.86 40.00 37.86 36.43");
    assert_string_equal(
        exact_rounded_text(
            given->mem, running.figure,
            (struct rounding){.rule = ROUND_HALF_UP, .to = ROUND_TO_DECIMALS, .digits = 2}),
        "43.57");
    assert_int_equal(running.worst_window, 3);
    assert_int_equal(running.windows[3].to, day_from_civil(2026, 6, 10));
    assert_int_equal(running.windows[5].standing, STANDING_WITHIN);
    assert_int_equal(running.beyond, 3);
}

static void running_days_reach_into_the_month_before(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 3;
    given_span(given, "2026-06-01", "2026-06-02");
    given_days(given, "2026-05-30", "60 20 20 20");

    struct verdict verdict = given_assert(given, "outside: above 30", "100 over 3 days");

    assert_string_equal(window_figures(given, &verdict, 2), "33.33 20.00");
    assert_int_equal(verdict.window_count, 2);
    given_span(given, "2026-06-02", "2026-06-02");
    given_assert(given, "within", "60 is out of sight");
}

/* Wednesday 1 to Thursday 30 April 2026; Mondays are the 6th, 13th, 20th and 27th. */
static const struct {
    enum belongs belongs;
    const char *figures;
    const char *reason;
} weeks[] = {
    {BELONGS_BEGAN, "20 30 40 55", "27 April to 3 May began in it: (4 * 50 + 185) / 7"},
    {BELONGS_ENDED, "13 20 30 40", "30 March to 5 April ended in it: (2 * 5.5 + 5 * 16) / 7"},
    {BELONGS_MOSTLY, "13 20 30 40 55", "five days of the first week, four of the last"},
    {BELONGS_DAYS, "16 20 30 40 50", "cut at both edges"},
    {BELONGS_BOTH, "13 20 30 40 55", "every week that touches it"},
};

static void a_week_over_the_edge_belongs_as_the_clause_says(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_WEEK;
    given->limit.bound.ceiling = (struct decimal){900, 0};
    given_span(given, "2026-04-01", "2026-04-30");
    given_days(given, "2026-03-30",
               "5.5 5.5 16 16 16 16 16 20 20 20 20 20 20 20 30 30 30 30 30 30 30 "
               "40 40 40 40 40 40 40 50 50 50 50 61.666666 61.666667 61.666667");
    for (size_t i = 0; i < ARRAY_LEN(weeks); i++) {
        given->limit.period_belongs = weeks[i].belongs;

        struct verdict verdict = given_assert(given, "within", weeks[i].reason);
        const char *figures = window_figures(given, &verdict, 0);

        if (strcmp(figures, weeks[i].figures) != 0)
            fail_msg("%s: %s", weeks[i].reason, figures);
    }
}

static void an_empty_week_is_never_a_pass(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_WEEK;
    given_span(given, "2026-06-01", "2026-06-14");
    given_days(given, "2026-06-01", "20 - - 10");

    struct verdict verdict = given_assert(given, "not assessable", "nothing in the second");

    assert_string_equal(verdict.reason, "no result in the week from 8 June 2026");
    assert_int_equal(verdict.windows[0].standing, STANDING_WITHIN);
}

/* Arithmetic; medians by R median(), geometric means as exp(mean(log(x))). */
static const char twenty[] = "12 7 15 9 22 31 8 11 14 18 26 10 13 9 17 40 12 16 21 19";

static const struct {
    enum limit_statistic statistic;
    int last;
    int decimals;
    const char *figures;
} rolling[] = {
    {STATISTIC_MEDIAN, 5, 0, "? ? ? ? 12 15 15 11 14 14 14 14 14 13 13 13 13 16 17 19"},
    {STATISTIC_GEOMETRIC_MEAN, 5, 4,
     "? ? ? ? 12.0062 14.5159 14.9088 14.0121 15.3066 14.7045 14.1962 14.8441 15.3484 14.0503 "
     "13.8906 15.1405 15.7027 16.3686 19.3913 19.8274"},
    {STATISTIC_MEAN, 12, 4,
     "? ? ? ? ? ? ? ? ? ? ? 15.2500 15.3333 15.5000 15.6667 18.2500 17.4167 16.1667 17.2500 "
     "17.9167"},
    {STATISTIC_MEAN, 20, 1, "? ? ? ? ? ? ? ? ? ? ? ? ? ? ? ? ? ? ? 16.5"},
};

static void last_samples_roll_from_one_to_the_next(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.bound.ceiling = (struct decimal){100, 0};
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", twenty);
    for (size_t i = 0; i < ARRAY_LEN(rolling); i++) {
        given->limit.statistic = rolling[i].statistic;
        given->limit.last_samples = rolling[i].last;

        struct verdict verdict =
            given_assert(given, "not assessable", "the first have too few before them");

        assert_string_equal(window_figures(given, &verdict, rolling[i].decimals),
                            rolling[i].figures);
        assert_string_equal(verdict.reason,
                            arena_printf(given->mem,
                                         "not enough samples at the sample of 1 June 2026: 1 of %d",
                                         rolling[i].last));
    }
}

/* The reason names its own window, and the figure says which it is of and how many were judged. */
static void too_few_last_samples_are_told_apart_from_the_windows_that_are_full(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 3;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "10 12 14 16");
    assert_string_equal(
        given_assert(given, "not assessable", "two windows have too few").words,
        "not assessable: not enough samples at the sample of 1 June 2026: 1 of 3 "
        "(14 mg/L, mean of 3 samples in the last 3 to 4 June 2026; the nearest of 4 "
        "windows, of which 2 could be judged, not above 30 mg/L)");
}

/* The figure told was that of a window with too few, and nothing said so. */
static void a_figure_of_a_window_that_could_not_be_judged_says_so(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 3;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "28 12 14 16");
    assert_string_equal(
        given_assert(given, "not assessable", "two windows have too few").words,
        "not assessable: not enough samples at the sample of 1 June 2026: 1 of 3 "
        "(28 mg/L, mean of 1 sample in all that there were to 1 June 2026, which could not be "
        "judged; the nearest of 4 windows, of which 2 could be judged, not above 30 mg/L)");
}

/* Guidance as "the last 30, and at least 15": the clause's own least number. */
static void last_samples_may_be_fewer_where_the_clause_says_how_many_are_enough(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 30;
    given->limit.least_samples = 2;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "10 12 14 16");
    assert_string_equal(given_assert(given, "not assessable", "the first has 1").reason,
                        "too few samples at the sample of 1 June 2026: 1 of at least 2");
    given->limit.least_samples = 1;
    assert_string_equal(given_assert(given, "within", "each has enough").words,
                        "within (13 mg/L, mean of 4 samples in all that there were to 4 June 2026; "
                        "the nearest of 4 windows, not above 30 mg/L)");
    given->limit.bound.ceiling = (struct decimal){12, 0};
    given_assert(given, "outside: above 12", "13 of four");
}

static void a_limit_that_began_within_the_period_is_not_said_to_have_changed(void **state)
{
    struct given *given = *state;

    given->limit.in_force_from = day_from_civil(2026, 6, 10);
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-08", "10 10 10 10");
    assert_string_equal(given_assert(given, "not assessable", "no rule").reason,
                        "the clause is in force only from 10 June 2026, and it is not said (across "
                        "a change) how a period that begins before that day is judged");
    given->limit.in_force_from = DAY_NONE;
    given->limit.in_force_to = day_from_civil(2026, 6, 9);
    assert_string_equal(given_assert(given, "not assessable", "no rule").reason,
                        "the clause was in force only to 9 June 2026, and it is not said (across a "
                        "change) how a period that goes on after that day is judged");
}

/* By the old form such windows are not this one's; by the new one they take readings from before.
 */
static void running_days_before_a_limit_are_judged_by_its_rule_and_by_what_it_asks(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 7;
    given->limit.daily = DAILY_MEAN;
    given->limit.in_force_from = day_from_civil(2026, 6, 1);
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", twenty);
    assert_non_null(strstr(given_assert(given, "not assessable", "no rule").reason,
                           "is judged in the 7 days to 1 June 2026"));
    given->limit.change = CHANGE_NEW;
    given->limit.least_samples = 4;
    assert_non_null(strstr(given_assert(given, "not assessable", "a mean of one day").reason,
                           "too few samples in the 7 days to 1 June 2026: 1 of at least 4"));
    given_again(given);
    given_days(given, "2026-05-26", "90 90 90 90 90 90 10 10 10 10 10 10 10");
    given_assert(given, "outside: above 30", "those of May count in the first windows");
    given->limit.change = CHANGE_OLD;
    given_again(given);
    given_days(given, "2026-06-01", "10 10 10 10 10 10 10 10");
    given->limit.least_samples = 1;
    assert_int_equal(given_verdict(given).window_count, 24);
}

static void last_samples_reach_back_over_a_long_silence(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 3;
    given_span(given, "2026-06-01", "2026-06-30");

    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given_add(given, series, given_at("2024-01-05T12:00:00Z"), "90", "mg/L");
    given_add(given, series, given_at("2025-01-05T12:00:00Z"), "20", "mg/L");
    given_add(given, series, given_at("2026-01-05T12:00:00Z"), "10", "mg/L")->doubt = "late";
    given_add(given, series, given_at("2026-06-05T12:00:00Z"), "10", "mg/L");

    struct verdict verdict = given_assert(given, "outside: above 30", "90, 20 and 10");

    assert_string_equal(verdict.compared_text, "40");
    given->readings[0][2].doubt = NULL;
    given_assert(given, "within", "20, 10 and 10");
}

static void a_quarter_and_a_year_are_one_figure(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_QUARTER;
    given_span(given, "2026-04-01", "2026-06-30");

    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given_add(given, series, given_at("2026-03-31T23:59:00Z"), "900", "mg/L");
    given_add(given, series, given_at("2026-04-01T00:00:00Z"), "20", "mg/L");
    given_add(given, series, given_at("2026-06-30T23:59:00Z"), "40", "mg/L");
    given_add(given, series, given_at("2026-07-01T00:00:00Z"), "900", "mg/L");

    struct verdict verdict = given_assert(given, "within", "20 and 40");

    assert_string_equal(verdict.words, "within (30 mg/L, quarterly mean of 2 samples, not above "
                                       "30 mg/L)");
    assert_int_equal(verdict.window_count, 1);
    given->evidence.now = given_at("2026-05-05T00:00:00Z");
    given_assert(given, "so far within", "20 so far");
}

/* Windows of seven days: the clause began on 10 June. */
static const struct {
    enum change_rule change;
    const char *standing;
    size_t windows;
    const char *reason;
} changes[] = {
    {CHANGE_UNSET, "not assessable", 21, "six windows reach back over its beginning"},
    {CHANGE_NEW, "outside: above 30", 21, "they are judged by it in full"},
    {CHANGE_OLD, "within", 15, "the form before judges them"},
};

static void a_window_across_a_change_goes_by_the_rule(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 7;
    given->limit.in_force_from = day_from_civil(2026, 6, 10);
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01",
               "90 90 90 90 90 90 90 90 90 10 10 10 10 10 10 10 10 10 10 10 10 10 10 10 10 10 10 "
               "10 10 10");
    for (size_t i = 0; i < ARRAY_LEN(changes); i++) {
        given->limit.change = changes[i].change;

        struct verdict verdict = given_assert(given, changes[i].standing, changes[i].reason);

        assert_int_equal(verdict.window_count, changes[i].windows);
    }
}

static void a_window_that_still_runs_says_so_far(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_WEEK;
    given->limit.least_samples = 3;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "20 20 20 - - - - 10");
    given->evidence.now = given_at("2026-06-10T08:00:00Z");

    struct verdict verdict = given_assert(given, "so far within", "the second week still runs");

    assert_int_equal(verdict.window_count, 2);
    assert_false(verdict.windows[0].so_far);
    assert_true(verdict.windows[1].so_far);
    given->evidence.now = given_at("2026-06-15T08:00:00Z");
    given_assert(given, "so far not assessable", "it ended with one sample");
}

static void given_outlet(struct given *given, const char *text)
{
    size_t series = given_series(given, "outfall", "outlet", KIND_BY_HAND);
    char *rest = arena_strdup(given->mem, text);

    given->evidence.outlet_series = (int)series;
    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char *state = strchr(word, '=');

        *state = '\0';
        given_add(given, series, given_at(arena_printf(given->mem, "2026-%s:00Z", word)), state + 1,
                  NULL);
    }
}

static const struct {
    enum belongs belongs;
    const char *outlet;
    const char *standing;
    size_t windows;
    const char *reason;
} runs[] = {
    {BELONGS_BEGAN, "06-01T00:00=shut 06-02T06:00=open 06-04T06:00=shut", "within", 1,
     "10 and 40 in the run"},
    {BELONGS_BEGAN,
     "06-01T00:00=shut 06-01T06:00=open 06-02T15:00=shut 06-04T06:00=open "
     "06-05T15:00=shut",
     "outside: above 30", 2, "a run of 60 and one of 10"},
    {BELONGS_BEGAN, "05-30T00:00=shut 05-31T06:00=open 06-02T15:00=shut", "nothing due", 0,
     "it began the month before"},
    {BELONGS_ENDED, "05-30T00:00=shut 05-31T06:00=open 06-02T15:00=shut", "outside: above 30", 1,
     "and ended in this one"},
    {BELONGS_MOSTLY, "05-30T00:00=shut 05-31T06:00=open 06-02T15:00=shut", "outside: above 30", 1,
     "most of it lies in this one"},
    {BELONGS_MOSTLY, "05-28T00:00=shut 05-29T06:00=open 06-01T15:00=shut", "nothing due", 0,
     "most of it lay in the one before"},
    {BELONGS_ENDED, "05-31T06:00=open 06-02T15:00=shut", "not assessable", 1,
     "nothing says when it was opened"},
};

static void a_run_is_judged_from_opening_to_shutting(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_DISCHARGE_RUN;
    given_span(given, "2026-06-01", "2026-06-30");
    for (size_t i = 0; i < ARRAY_LEN(runs); i++) {
        given_again(given);
        given->limit.period_belongs = runs[i].belongs;
        given_days(given, "2026-06-01", "60 10 40 10 50");
        given_outlet(given, runs[i].outlet);

        struct verdict verdict = given_assert(given, runs[i].standing, runs[i].reason);

        if (verdict.window_count != runs[i].windows)
            fail_msg("%s: %zu windows", runs[i].reason, verdict.window_count);
    }
}

static void a_run_without_a_record_is_not_known(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_DISCHARGE_RUN;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "10");
    assert_string_equal(given_assert(given, "not assessable", "no outlet").reason,
                        "there is no record of the outlet, so its runs are not known");
}

static void a_run_that_is_open_runs_on(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_DISCHARGE_RUN;
    given_span(given, "2026-06-01", "2026-06-30");
    given_days(given, "2026-06-01", "10 20");
    given_outlet(given, "05-30T00:00=shut 06-01T06:00=open");
    given->evidence.now = given_at("2026-06-02T18:00:00Z");
    assert_true(given_assert(given, "so far within", "it is still open").windows[0].so_far);
    given->evidence.state_holds_s = 3600;
    given_assert(given, "so far not assessable", "the record has been silent for a day");
    given->evidence.now = given_at("2026-11-26T00:00:00Z");
    given_assert(given, "not assessable", "months later it still runs no more");
}

/*
 * From 20:00 to 04:00 the outlet was open and the probe read every hour; the rest of both days
 * nobody asked it to.
 */
static void a_night_run_read_throughout_is_covered_though_its_days_are_not(void **state)
{
    static const struct {
        int readings;
        const char *standing;
        const char *percent;
        const char *reason;
    } rows[] = {
        {9, "within", "100.0", "all of its eight hours"},
        {7, "within", "75.0", "six of eight hours are enough"},
        {6, "not assessable", "62.5", "five are not"},
    };
    struct given *given = *state;

    given_span(given, "2026-06-01", "2026-06-30");
    given->limit.period = PERIOD_DISCHARGE_RUN;
    given->limit.kinds = KIND_PROBE;
    given->limit.reading_stands_s = 3600;
    given->limit.least_coverage = (struct decimal){75, 0};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);

        size_t series = given_series(given, "outfall", "suspended-solids", KIND_PROBE);

        for (int k = 0; k < rows[i].readings; k++)
            given_add(given, series, given_at("2026-06-03T20:00:00Z") + k * 3600 * SECOND_US, "10",
                      "mg/L");
        given_outlet(given, "06-01T00:00=shut 06-03T20:00=open 06-04T04:00=shut");

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        assert_string_equal(decimal_text(given->mem, verdict.coverage), rows[i].percent);
    }
}

/* Arithmetic of each definition, as R quantile(type = 5), (6) and (7) have it. */
static const struct {
    int percent;
    const char *rule;
    const char *figures;
    const char *first; /* how the first whole window stands to a bound of 30 */
} percentiles[] = {
    {80, "Hazen", "20 24 24 24 24 22 22 22 22 23.5 23.5", "within"},
    {80, "inclusive", "18.8 22.8 22.8 22.8 22.8 19.6 19.6 19.6 19.6 22 22", "within"},
    {90, "Hazen", "26.5 28.5 28.5 28.5 28.5 28.5 33 33 33 33 33", "within"},
    {90, "Weibull", "30.1 30.5 30.5 30.5 30.5 30.5 38.6 38.6 38.6 38.6 38.6", "outside"},
    {90, "inclusive", "22.9 26.5 26.5 26.5 26.5 26.5 27.4 27.4 27.4 27.4 27.4", "within"},
};

static void the_definition_of_a_percentile_turns_the_verdict(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 10;
    given->limit.statistic = STATISTIC_PERCENTILE;
    given_span(given, "2026-06-10", "2026-06-30");
    given_days(given, "2026-06-01", twenty);
    for (size_t i = 0; i < ARRAY_LEN(percentiles); i++) {
        char *expected = arena_strdup(given->mem, percentiles[i].figures);

        given->limit.settings.percent = (struct decimal){percentiles[i].percent, 0};
        given->limit.settings.percentile_rule = percentiles[i].rule;

        struct verdict verdict = given_verdict(given);

        assert_int_equal(verdict.window_count, 11);
        assert_string_equal(standing_name(verdict.windows[0].standing), percentiles[i].first);
        for (size_t k = 0; k < verdict.window_count; k++)
            assert_string_equal(verdict.windows[k].figure_text, strtok_r(expected, " ", &expected));
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(calendar_weeks_keep_what_running_days_break),
        CASE(running_days_reach_into_the_month_before),
        CASE(a_week_over_the_edge_belongs_as_the_clause_says),
        CASE(an_empty_week_is_never_a_pass),
        CASE(last_samples_roll_from_one_to_the_next),
        CASE(the_definition_of_a_percentile_turns_the_verdict),
        CASE(too_few_last_samples_are_told_apart_from_the_windows_that_are_full),
        CASE(a_figure_of_a_window_that_could_not_be_judged_says_so),
        CASE(last_samples_may_be_fewer_where_the_clause_says_how_many_are_enough),
        CASE(a_limit_that_began_within_the_period_is_not_said_to_have_changed),
        CASE(running_days_before_a_limit_are_judged_by_its_rule_and_by_what_it_asks),
        CASE(last_samples_reach_back_over_a_long_silence),
        CASE(a_quarter_and_a_year_are_one_figure),
        CASE(a_window_across_a_change_goes_by_the_rule),
        CASE(a_window_that_still_runs_says_so_far),
        CASE(a_run_is_judged_from_opening_to_shutting),
        CASE(a_run_without_a_record_is_not_known),
        CASE(a_run_that_is_open_runs_on),
        CASE(a_night_run_read_throughout_is_covered_though_its_days_are_not),
    };

    return cmocka_run_group_tests_name("judge/windows", tests, NULL, NULL);
}

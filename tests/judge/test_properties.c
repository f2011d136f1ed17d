#include "judge/drawn.h"

/*
 * What holds of every limit and all results, tried on cases drawn at random. A case that breaks a
 * property is printed with its number: drawn_case() makes it again.
 */

enum { CASES = 1500 };

static const enum limit_statistic any_statistic[] = {
    STATISTIC_VALUE,          STATISTIC_MEAN,
    STATISTIC_GEOMETRIC_MEAN, STATISTIC_MEDIAN,
    STATISTIC_MINIMUM,        STATISTIC_MAXIMUM,
    STATISTIC_PERCENTILE,     STATISTIC_COUNT_BEYOND,
    STATISTIC_SHARE_BEYOND,   STATISTIC_LOG_NORMAL_PERCENTILE,
};

/* Each case has memory of its own. */
struct scope {
    struct given *given;
    struct arena *outer;
    struct limit limit;
};

static struct scope scope_begin(struct given *given)
{
    struct scope scope = {given, given->mem, given->limit};

    given->mem = arena_new();

    return scope;
}

static void scope_end(struct scope *scope)
{
    arena_free(&scope->given->mem);
    given_again(scope->given);
    scope->given->mem = scope->outer;
    scope->given->limit = scope->limit;
}

static struct verdict judged(struct given *given, const struct drawn *drawn,
                             const struct drawn_unit *unit, bool backwards)
{
    drawn_fill(given, drawn, unit, backwards);

    return given_verdict(given);
}

static void show_broken(struct given *given, const struct drawn *drawn, const char *property,
                        const struct verdict *before, const struct verdict *after)
{
    fail_msg("%s\n%s\n  before: %s; %s\n  after:  %s; %s", property, drawn_text(given->mem, drawn),
             before->words, before->reason ? before->reason : "", after->words,
             after->reason ? after->reason : "");
}

static bool same(const struct verdict *a, const struct verdict *b)
{
    return a->standing == b->standing && a->side == b->side &&
           (a->compared == NULL) == (b->compared == NULL) &&
           (!a->compared || exact_compare(a->compared, b->compared) == 0);
}

/* --- units and order ------------------------------------------------------------------------- */

static void another_unit_changes_no_verdict(void **state)
{
    /* One step of the last digit stays what it is but in ug/L, where a digit is lost or won. */
    static const struct drawn_unit units[] = {{"g/m3", 1, 0}, {"g/L", 1, 3}, {"ug/L", 1000, 0}};
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn =
            drawn_case(i, &scope.limit, any_statistic, ARRAY_LEN(any_statistic), false);
        struct verdict before = judged(given, &drawn, NULL, false);
        bool by_step = drawn.limit.less_than == LESS_THAN_STEP_BELOW ||
                       drawn.limit.greater_than == GREATER_THAN_STEP;

        for (size_t k = 0; k < ARRAY_LEN(units) - by_step; k++) {
            struct verdict after = judged(given, &drawn, &units[k], false);

            if (!same(&before, &after))
                show_broken(given, &drawn, units[k].name, &before, &after);
        }
        scope_end(&scope);
    }
}

static void the_order_of_rows_changes_no_verdict(void **state)
{
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn =
            drawn_case(i, &scope.limit, any_statistic, ARRAY_LEN(any_statistic), false);
        struct verdict before = judged(given, &drawn, NULL, false);
        struct verdict after = judged(given, &drawn, NULL, true);

        if (!same(&before, &after) || strcmp(before.words, after.words) != 0)
            show_broken(given, &drawn, "rows of one instant, backwards", &before, &after);
        scope_end(&scope);
    }
}

/* Two of four count: the later of the two of one instant, and the last one. */
static void two_samples_of_one_instant_are_ordered_by_number(void **state)
{
    static const struct {
        const char *of_20;
        const char *of_40;
        const char *mean; /* with 20 */
    } rows[] = {{"S8", "S9", "30"}, {"S9", "S10", "30"}, {"S10", "S9", "20"}};
    struct given *given = *state;

    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 2;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (int swapped = 0; swapped <= 1; swapped++) {
            given_again(given);

            size_t series =
                given_samples(given, swapped ? "3:10 4:40 4:20 5:20" : "3:10 4:20 4:40 5:20");
            struct evidence_reading *readings = given->readings[series];

            readings[0].sample = "S1";
            readings[swapped ? 2 : 1].sample = rows[i].of_20;
            readings[swapped ? 1 : 2].sample = rows[i].of_40;
            readings[3].sample = "S11";

            struct verdict verdict = given_verdict(given);

            assert_int_equal(verdict.window_count, 4);
            assert_string_equal(verdict.windows[3].figure_text, rows[i].mean);
        }
}

/* --- at the bound ---------------------------------------------------------------------------- */

/* Readings that give each statistic exactly the bound. */
static const struct {
    enum limit_statistic statistic;
    const char *readings; /* mg/L */
    const char *bound;    /* of the figure */
    struct statistic_settings settings;
    bool follows_unit; /* the bound is a concentration */
} held[] = {
    {STATISTIC_VALUE, "3:30", "30", {.rate_per_s = 0}, true},
    {STATISTIC_MEAN, "3:29.9 10:30.1 17:30", "30", {.rate_per_s = 0}, true},
    {STATISTIC_GEOMETRIC_MEAN, "3:15 10:60", "30", {.rate_per_s = 0}, true},
    {STATISTIC_MEDIAN, "3:20 10:40", "30", {.rate_per_s = 0}, true},
    {STATISTIC_MINIMUM, "3:30 10:60", "30", {.rate_per_s = 0}, true},
    {STATISTIC_MAXIMUM, "3:30 10:6", "30", {.rate_per_s = 0}, true},
    {STATISTIC_PERCENTILE,
     "3:10 10:20 17:30 24:50",
     "30",
     {.percent = {75, 0}, .percentile_rule = "type 1"},
     true},
    {STATISTIC_PERCENTILE,
     "3:10 10:20 17:30",
     "25",
     {.percent = {75, 0}, .percentile_rule = "inclusive"},
     true},
    {STATISTIC_LOG_NORMAL_PERCENTILE,
     "3:10 10:1000",
     "1000",
     {.z = {1, 0}, .deviation = DEVIATION_POPULATION},
     true},
    {STATISTIC_COUNT_BEYOND,
     "3:31 10:40 17:30",
     "2",
     {.beyond = {.has_above = true, .above = {30, 0}}},
     false},
    {STATISTIC_SHARE_BEYOND,
     "3:31 10:40 17:30 18:10",
     "50",
     {.beyond = {.has_above = true, .above = {30, 0}}},
     false},
    {STATISTIC_CHANGE, "3/12:00:10 3/12:30:12.5 3/13:01:15", "2.5", {.change_span_s = 3600}, true},
    {STATISTIC_RATE, "3/12:00:10 3/12:30:12.5", "5", {.rate_per_s = 3600}, true},
    {STATISTIC_TIME_OUTSIDE,
     "1/00:00:10 3/12:15:31 3/12:45:30 3/13:00:31 3/13:10:30",
     "40",
     {.beyond = {.has_above = true, .above = {30, 0}}, .time_unit_s = 60},
     false},
    {STATISTIC_LONGEST_OUTSIDE,
     "1/00:00:10 3/12:15:31 3/12:45:30 3/13:00:31 3/13:10:30",
     "30",
     {.beyond = {.has_above = true, .above = {30, 0}}, .time_unit_s = 60},
     false},
};

/* The four wordings; each is outside or within exactly at the bound. */
static const struct {
    bool is_floor;
    bool reached_is_outside;
    const char *words;
} wordings[] = {{false, false, "not above"},
                {false, true, "below"},
                {true, false, "not below"},
                {true, true, "above"}};

static struct limit_bound bound_as_worded(size_t wording, struct decimal bound)
{
    return (struct limit_bound){
        .has_ceiling = !wordings[wording].is_floor,
        .has_floor = wordings[wording].is_floor,
        .ceiling = bound,
        .floor = bound,
        .ceiling_reached_is_outside = wordings[wording].reached_is_outside,
        .floor_reached_is_outside = wordings[wording].reached_is_outside,
    };
}

static void hold_at_bound(struct given *given, size_t row, size_t wording,
                          const struct drawn_unit *unit)
{
    size_t series;

    given_again(given);
    given->limit.statistic = held[row].statistic;
    given->limit.settings = held[row].settings;
    given->limit.period =
        held[row].statistic == STATISTIC_VALUE ? PERIOD_EACH_SAMPLE : PERIOD_MONTH;
    given->limit.reading_stands_s = 86400 * 31;
    given->limit.bound = bound_as_worded(wording, given_decimal(held[row].bound));
    series = given_samples(given, held[row].readings);
    if (held[row].settings.time_unit_s > 0) /* what was read is known up to the month's end */
        given_add(given, series, given_at("2026-04-01T00:00:00Z"), "10", "mg/L");
    for (size_t i = 0; i < given->series[series].count; i++) {
        struct evidence_reading *reading = &given->readings[series][i];

        reading->reported = drawn_in(reading->reported, unit);
        reading->unit = unit->name;
    }
}

static void every_statistic_at_its_bound_is_judged_as_worded_in_three_units(void **state)
{
    static const struct drawn_unit units[] = {{"mg/L", 1, 0}, {"ug/L", 1000, 0}, {"g/L", 1, 3}};
    struct given *given = *state;

    for (size_t row = 0; row < ARRAY_LEN(held); row++)
        for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
            for (size_t k = 0; k < ARRAY_LEN(units); k++) {
                hold_at_bound(given, row, wording, &units[k]);

                struct verdict verdict = given_verdict(given);
                enum standing expected =
                    wordings[wording].reached_is_outside ? STANDING_OUTSIDE : STANDING_WITHIN;

                if (verdict.standing != expected)
                    fail_msg("%s %s in %s: expected %s, got %s; %s",
                             limit_statistic_words[held[row].statistic], wordings[wording].words,
                             units[k].name, standing_name(expected), verdict.words,
                             verdict.reason ? verdict.reason : "");
            }
}

/* A total has no concentration: of a steady 1 L/s, which is 86.4 m3 a day, over 31 days. */
static void totals_at_their_bound_are_judged_as_worded_in_three_units(void **state)
{
    static const struct {
        const char *unit;
        const char *flow;
    } flows[] = {{"L/s", "1"}, {"m3/h", "3.6"}, {"m3/day", "86.4"}};
    struct given *given = *state;

    given->limit.parameter = "flow";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.reading_stands_s = 86400;
    for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
        for (size_t k = 0; k < ARRAY_LEN(flows) * 2; k++) {
            bool sum = k >= ARRAY_LEN(flows);
            size_t at = k % ARRAY_LEN(flows);
            bool outside = wordings[wording].reached_is_outside;

            given_again(given);
            given->limit.statistic = sum ? STATISTIC_SUM : STATISTIC_VALUE;
            given->limit.period = sum ? PERIOD_MONTH : PERIOD_DAY;
            given->limit.bound = bound_as_worded(wording, given_decimal(sum ? "2678.4" : "86.4"));

            size_t series = given_series(given, "outfall", "flow", KIND_PROBE);

            for (int day = -1; day <= 31; day++)
                given_add(given, series, given_at("2026-03-01T00:00:00Z") + day * DAY_US,
                          flows[at].flow, flows[at].unit);

            struct verdict verdict = given_verdict(given);

            if (verdict.standing != (outside ? STANDING_OUTSIDE : STANDING_WITHIN))
                fail_msg("%s in %s, %s: %s", sum ? "sum" : "total", flows[at].unit,
                         wordings[wording].words, verdict.words);
        }
}

/* --- more and less data ---------------------------------------------------------------------- */

static struct drawn with(const struct drawn *drawn, struct drawn_result added)
{
    struct drawn more = *drawn;

    more.results[more.count++] = added;

    return more;
}

/*
 * For a maximum, a bound on every sample and a count beyond, under a ceiling or over a floor. A
 * clause may say that its less-thans count by a rule; that changes nothing here.
 */
static void a_less_than_more_never_turns_a_breach_into_a_pass(void **state)
{
    static const enum limit_statistic statistics[] = {STATISTIC_VALUE, STATISTIC_MAXIMUM,
                                                      STATISTIC_COUNT_BEYOND};
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_case(i, &scope.limit, statistics, ARRAY_LEN(statistics), true);

        drawn.limit.daily = DAILY_EVERY;
        drawn.limit.allowance.kind = ALLOWANCE_NONE;
        drawn.limit.replicates = ALIKE_EACH;
        if (drawn.limit.period == PERIOD_LAST_SAMPLES)
            drawn.limit.period = PERIOD_MONTH;

        struct drawn_result added = drawn_result(&drawn);

        added.qualifier = QUALIFIER_LESS;
        added.doubt = added.check = false;

        struct drawn more = with(&drawn, added);
        struct verdict before = judged(given, &drawn, NULL, false);
        struct verdict after = judged(given, &more, NULL, false);

        if (before.standing == STANDING_OUTSIDE && after.standing != STANDING_OUTSIDE)
            show_broken(given, &more, "a less-than more, the last", &before, &after);
        if (after.beyond < before.beyond)
            show_broken(given, &more, "a less-than more lowers the count beyond", &before, &after);
        if (drawn.limit.statistic == STATISTIC_COUNT_BEYOND && before.figure && after.figure &&
            exact_compare(after.figure, before.figure) < 0)
            show_broken(given, &more, "a less-than more lowers the count", &before, &after);
        scope_end(&scope);
    }
}

static bool picks_or_is_no_percentile(const struct limit *limit)
{
    static const char *const rules[] = {"type 1", "type 2", "type 3", "nearest rank"};

    for (size_t i = 0; i < ARRAY_LEN(rules) && limit->settings.percentile_rule; i++)
        if (strcmp(limit->settings.percentile_rule, rules[i]) == 0)
            return true;

    return limit->statistic != STATISTIC_PERCENTILE;
}

/* A number at the bound, or inside it; of a count or share at what is not yet beyond. */
static struct decimal inside_value(struct drawn *drawn)
{
    bool counts = drawn->limit.statistic == STATISTIC_COUNT_BEYOND ||
                  drawn->limit.statistic == STATISTIC_SHARE_BEYOND;
    bool reached = counts ? drawn->limit.settings.beyond.above_reached_counts
                          : drawn->limit.bound.ceiling_reached_is_outside;

    if (!reached && drawn_one_in(drawn, 2))
        return (struct decimal){30, 0};

    return (struct decimal){1 + drawn_int(drawn, 294), 1}; /* rounds to 29 at most, or is below */
}

/*
 * The rules that work on all results at once are left out: with them each number moves what the
 * less-thans stand for.
 */
static void a_value_inside_the_bound_never_turns_within_into_outside(void **state)
{
    static const enum limit_statistic statistics[] = {
        STATISTIC_VALUE,   STATISTIC_MEAN,       STATISTIC_GEOMETRIC_MEAN, STATISTIC_MEDIAN,
        STATISTIC_MAXIMUM, STATISTIC_PERCENTILE, STATISTIC_COUNT_BEYOND,   STATISTIC_SHARE_BEYOND,
    };
    struct given *given = *state;

    for (uint64_t i = 0; i < 2 * (uint64_t)CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_case(i, &scope.limit, statistics, ARRAY_LEN(statistics), true);
        struct drawn_result added = drawn_result(&drawn);

        added.qualifier = QUALIFIER_NONE;
        added.value = inside_value(&drawn);
        added.doubt = added.check = false;
        added.sample = 99;
        if (drawn.limit.less_than >= LESS_THAN_KAPLAN_MEIER)
            drawn.limit.less_than = LESS_THAN_HALF;

        struct drawn more = with(&drawn, added);
        struct verdict before = judged(given, &drawn, NULL, false);
        struct verdict after = judged(given, &more, NULL, false);

        if (picks_or_is_no_percentile(&drawn.limit) && drawn.limit.period != PERIOD_LAST_SAMPLES &&
            before.standing == STANDING_WITHIN && after.standing == STANDING_OUTSIDE)
            show_broken(given, &more, "a value inside the bound more, the last", &before, &after);
        scope_end(&scope);
    }
}

/* Issue of interpolating: eight 0 and one 100 have an inclusive 90th percentile of 20. */
static void a_value_inside_the_bound_may_raise_a_percentile_between_values(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_PERCENTILE;
    given->limit.settings.percent = (struct decimal){90, 0};
    given->limit.settings.percentile_rule = "inclusive";
    given_samples(given, "1:0 2:0 3:0 4:0 5:0 6:0 7:0 8:0 9:100");

    struct verdict verdict = given_assert(given, "within", "rank 8.2 of 9");

    assert_string_equal(verdict.figure_text, "20");
    given_again(given);
    given_samples(given, "1:0 2:0 3:0 4:0 5:0 6:0 7:0 8:0 9:100 10:30");
    verdict = given_assert(given, "outside: above 30", "rank 9.1 of 10");
    assert_string_equal(verdict.figure_text, "37");
}

static void doubt_never_turns_outside_into_within(void **state)
{
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn =
            drawn_case(i, &scope.limit, any_statistic, ARRAY_LEN(any_statistic), false);
        struct drawn more = drawn;

        for (int k = drawn_int(&drawn, 5); k >= 0; k--) {
            more.results[more.count] = drawn_result(&drawn);
            more.results[more.count++].doubt = true;
        }

        struct verdict before = judged(given, &drawn, NULL, false);
        bool breach = before.standing == STANDING_OUTSIDE;
        bool sound = breach && !before.rests_on_doubt;
        struct verdict after = judged(given, &more, NULL, false);

        if (sound && after.standing != STANDING_OUTSIDE)
            show_broken(given, &more, "doubt turns outside away", &before, &after);
        if (before.standing != STANDING_WITHIN && after.standing == STANDING_WITHIN)
            show_broken(given, &more, "doubt makes a verdict within", &before, &after);
        drawn_fill(given, &drawn, NULL, false);
        given_row(given, given_at("2026-03-12T12:00:00Z"), drawn_one_in(&drawn, 2) ? "1" : "<40",
                  drawn_one_in(&drawn, 2) ? "mg/L" : NULL);
        after = given_verdict(given);
        if (sound && after.standing != STANDING_OUTSIDE)
            show_broken(given, &drawn, "a row set aside turns outside away", &before, &after);
        if (before.standing != STANDING_WITHIN && after.standing == STANDING_WITHIN)
            show_broken(given, &drawn, "a row set aside makes it within", &before, &after);
        scope_end(&scope);
    }
}

static bool for_too_little(const struct verdict *verdict)
{
    return verdict->standing == STANDING_NOT_ASSESSABLE && verdict->reason &&
           (strncmp(verdict->reason, "too few samples", 15) == 0 ||
            strncmp(verdict->reason, "no result", 9) == 0 ||
            strncmp(verdict->reason, "not enough samples", 18) == 0);
}

static void fewer_readings_never_clear_what_had_too_little(void **state)
{
    struct given *given = *state;

    for (uint64_t i = 0; i < 2 * (uint64_t)CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn =
            drawn_case(i, &scope.limit, any_statistic, ARRAY_LEN(any_statistic), false);

        drawn.limit.least_samples += 2;

        struct verdict before = judged(given, &drawn, NULL, false);
        struct drawn fewer = drawn;

        fewer.count = 0;
        for (size_t k = 0; k < drawn.count; k++)
            if (!drawn_one_in(&drawn, 3))
                fewer.results[fewer.count++] = drawn.results[k];

        struct verdict after = judged(given, &fewer, NULL, false);

        if (for_too_little(&before) && after.standing == STANDING_WITHIN)
            show_broken(given, &drawn, "with fewer readings", &before, &after);
        scope_end(&scope);
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        CASE(another_unit_changes_no_verdict),
        CASE(the_order_of_rows_changes_no_verdict),
        CASE(two_samples_of_one_instant_are_ordered_by_number),
        CASE(every_statistic_at_its_bound_is_judged_as_worded_in_three_units),
        CASE(totals_at_their_bound_are_judged_as_worded_in_three_units),
        CASE(a_less_than_more_never_turns_a_breach_into_a_pass),
        CASE(a_value_inside_the_bound_never_turns_within_into_outside),
        CASE(a_value_inside_the_bound_may_raise_a_percentile_between_values),
        CASE(doubt_never_turns_outside_into_within),
        CASE(fewer_readings_never_clear_what_had_too_little),
    };

    return cmocka_run_group_tests_name("judge/properties", tests, NULL, NULL);
}

#include "judge/drawn.h"

/*
 * What holds of every limit and all results, tried on cases drawn at random. A case that breaks a
 * property is printed with its number: drawn_case() makes it again.
 */

enum { CASES = 1000 };

static const enum limit_statistic any_statistic[] = {
    STATISTIC_VALUE,
    STATISTIC_MEAN,
    STATISTIC_GEOMETRIC_MEAN,
    STATISTIC_MEDIAN,
    STATISTIC_MINIMUM,
    STATISTIC_MAXIMUM,
    STATISTIC_PERCENTILE,
    STATISTIC_COUNT_BEYOND,
    STATISTIC_SHARE_BEYOND,
    STATISTIC_LOG_NORMAL_PERCENTILE,
    STATISTIC_CHANGE,
    STATISTIC_RATE,
    STATISTIC_TIME_OUTSIDE,
    STATISTIC_LONGEST_OUTSIDE,
    STATISTIC_SUM,
    STATISTIC_FLOW_WEIGHTED_MEAN,
    STATISTIC_HYDROGEN_ION_MEAN,
};

/* Of all statistics; with a flow beside them there are loads too. */
static struct drawn drawn_of_any(uint64_t number, const struct limit *like)
{
    struct limit with_flow = *like;

    with_flow.flow = (struct limit_flow){like->station, "flow"};

    return drawn_case(number, &with_flow, any_statistic, ARRAY_LEN(any_statistic), false);
}

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

/* Properties of verdicts that are never reached would hold of anything. */
static void every_statistic_is_drawn_within_outside_and_neither(void **state)
{
    enum { TIMES = 3 };
    int times[STATISTIC_LONGEST_OUTSIDE + 1][STANDING_NOT_ASSESSABLE + 1] = {{0}};
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_of_any(i, &scope.limit);
        struct verdict verdict = judged(given, &drawn, NULL, false);

        if (verdict.standing <= STANDING_NOT_ASSESSABLE)
            times[drawn.limit.statistic][verdict.standing]++;
        scope_end(&scope);
    }
    for (size_t i = 0; i < ARRAY_LEN(times); i++)
        for (size_t k = 0; k <= STANDING_NOT_ASSESSABLE; k++)
            if (times[i][k] < TIMES)
                fail_msg("%s is %s in %d of %d cases", limit_statistic_words[i],
                         standing_name((enum standing)k), times[i][k], CASES);
}

/* --- units and order ------------------------------------------------------------------------- */

static void another_unit_changes_no_verdict(void **state)
{
    /* One step of the last digit stays what it is but in ug/L, where a digit is lost or won. */
    static const struct drawn_unit flows[] = {{"m3/h", 36, 1, NULL}, {"m3/day", 864, 1, NULL}};
    static const struct drawn_unit units[] = {
        {"g/m3", 1, 0, &flows[0]}, {"g/L", 1, 3, &flows[1]}, {"ug/L", 1000, 0, &flows[0]}};
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_of_any(i, &scope.limit);
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
        struct drawn drawn = drawn_of_any(i, &scope.limit);
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

/* Whether the figure lies between values, so that any of them moves it. */
static bool averages(const struct limit *limit)
{
    return limit->statistic == STATISTIC_MEAN || limit->statistic == STATISTIC_GEOMETRIC_MEAN ||
           limit->statistic == STATISTIC_MEDIAN || limit->statistic == STATISTIC_PERCENTILE;
}

static bool day_is_free(const struct drawn *drawn, int day)
{
    for (size_t i = 0; i < drawn->count; i++)
        if (drawn->results[i].day == day)
            return false;

    return true;
}

/*
 * Whether the value is one more beside the others, and not one that puts out an older one of the
 * last samples, or lifts a low day among days that are averaged.
 */
static bool is_one_more(const struct drawn *drawn, const struct drawn_result *added)
{
    bool lifts = drawn->limit.daily == DAILY_MEAN || drawn->limit.daily == DAILY_MAXIMUM;

    return !averages(&drawn->limit) || (drawn->limit.period != PERIOD_LAST_SAMPLES &&
                                        (!lifts || day_is_free(drawn, added->day)));
}

/*
 * The rules that work on all results at once are left out: with them each number moves what the
 * less-thans stand for. What that and the like can do is in `raised` below.
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

        if (picks_or_is_no_percentile(&drawn.limit) && is_one_more(&drawn, &added) &&
            before.standing == STANDING_WITHIN && after.standing == STANDING_OUTSIDE)
            show_broken(given, &more, "a value inside the bound more, the last", &before, &after);
        scope_end(&scope);
    }
}

/* Where a value inside the bound may turn within into outside, and why. */
static const struct {
    const char *readings;
    const char *added;
    const char *ceiling;
    const char *before;
    const char *after;
    enum limit_statistic statistic;
    enum limit_daily daily;
    enum less_than_rule less_than;
    const char *percentile_rule; /* of the 90th */
    int last_samples;
    const char *why;
} raised[] = {
    {"1:0 2:0 3:0 4:0 5:0 6:0 7:0 8:0 9:100", " 10:30", "30", "20", "37", STATISTIC_PERCENTILE,
     DAILY_EVERY, LESS_THAN_UNSET, "inclusive", 0, "rank 8.2 of 9, and 9.1 of 10"},
    {"3:<1 5:<6 10:10 17:10 24:10", " 26:5.9", "6.4", "6.4", "6.725", STATISTIC_MEAN, DAILY_EVERY,
     LESS_THAN_KAPLAN_MEIER_RESTRICTED, NULL, 0,
     "10 3/5 + 1 2/5; then 10 3/6 + 5.9 1/4 + 1 1/4: <6 no longer counts as 1"},
    {"1:<1 5:<4 10:10 17:8 24:12", " 26:8", "8.15", "8.12450770832", "8.16621002825",
     STATISTIC_MEAN, DAILY_EVERY, LESS_THAN_REGRESSION, NULL, 0,
     "by regression: what stands for both less-thans rises with it"},
    {"1:10 2:10 3:10 4:40 5:40", " 6:30", "30", "30", "36.6666666667", STATISTIC_MEAN, DAILY_EVERY,
     LESS_THAN_UNSET, NULL, 3, "it puts the 10 out of the last three"},
    {"3:5 10:55", " 3/13:00:30", "30", "30", "36.25", STATISTIC_MEAN, DAILY_MEAN, LESS_THAN_UNSET,
     NULL, 0, "it lifts a low day from 5 to 17.5"},
};

static int by_instant(const void *a, const void *b)
{
    const struct evidence_reading *left = a;
    const struct evidence_reading *right = b;

    return (left->at > right->at) - (left->at < right->at);
}

static void raised_fill(struct given *given, size_t row, const char *text)
{
    given_again(given);
    given->limit.statistic = raised[row].statistic;
    given->limit.daily = raised[row].daily;
    given->limit.less_than = raised[row].less_than;
    given->limit.settings.percent = (struct decimal){raised[row].percentile_rule ? 90 : 0, 0};
    given->limit.settings.percentile_rule = raised[row].percentile_rule;
    given->limit.period = raised[row].last_samples ? PERIOD_LAST_SAMPLES : PERIOD_MONTH;
    given->limit.last_samples = raised[row].last_samples;
    given->limit.bound.ceiling = given_decimal(raised[row].ceiling);
    given->from = day_from_civil(2026, 3, raised[row].last_samples ? 3 : 1);

    size_t series = given_samples(given, text);

    qsort(given->readings[series], given->series[series].count, sizeof(*given->readings[series]),
          by_instant);
}

static void a_value_inside_the_bound_may_raise_some_figures_beyond_it(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(raised); i++) {
        raised_fill(given, i, raised[i].readings);

        struct verdict verdict = given_assert(given, "within", raised[i].why);

        assert_string_equal(verdict.figure_text, raised[i].before);
        raised_fill(given, i,
                    arena_printf(given->mem, "%s%s", raised[i].readings, raised[i].added));
        verdict = given_assert(
            given, arena_printf(given->mem, "outside: above %s", raised[i].ceiling), raised[i].why);
        assert_string_equal(verdict.figure_text, raised[i].after);
    }
}

static void doubt_never_turns_outside_into_within(void **state)
{
    struct given *given = *state;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_of_any(i, &scope.limit);
        struct drawn more = drawn;

        for (int k = drawn_int(&drawn, 5); k >= 0; k--) {
            more.results[more.count] = drawn_result(&drawn);
            more.results[more.count++].doubt = true;
        }
        if (more.flow_count > 0) {
            more.flows[more.flow_count] = drawn_result(&drawn);
            more.flows[more.flow_count++].doubt = true;
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
                  drawn_one_in(&drawn, 2) ? drawn_unit_name(&drawn.limit) : NULL);
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
    static const char *const reasons[] = {
        "too few samples",    "no result",
        "not enough samples", "too little of the time was covered",
        "flow known for",     "flow and no result"};

    for (size_t i = 0; i < ARRAY_LEN(reasons) && verdict->reason; i++)
        if (strncmp(verdict->reason, reasons[i], strlen(reasons[i])) == 0)
            return verdict->standing == STANDING_NOT_ASSESSABLE;

    return false;
}

static size_t some_of(struct drawn *drawn, struct drawn_result *results, size_t count)
{
    size_t kept = 0;

    for (size_t i = 0; i < count; i++)
        if (!drawn_one_in(drawn, 3))
            results[kept++] = results[i];

    return kept;
}

/* Fewer of them: of the results, of the flows, or of both. True: it had too little. */
static bool with_fewer(struct given *given, struct drawn *drawn)
{
    struct drawn fewer = *drawn;
    struct verdict before = judged(given, drawn, NULL, false);
    int which = drawn_int(drawn, 3);

    if (which != 1)
        fewer.count = some_of(drawn, fewer.results, fewer.count);
    if (which != 0)
        fewer.flow_count = some_of(drawn, fewer.flows, fewer.flow_count);

    struct verdict after = judged(given, &fewer, NULL, false);

    if (for_too_little(&before) && after.standing == STANDING_WITHIN)
        show_broken(given, drawn, drawn_text(given->mem, &fewer), &before, &after);

    return for_too_little(&before);
}

static void fewer_readings_never_clear_what_had_too_little(void **state)
{
    struct given *given = *state;

    for (uint64_t i = 0; i < 2 * (uint64_t)CASES; i++) {
        struct scope scope = scope_begin(given);
        struct drawn drawn = drawn_of_any(i, &scope.limit);

        drawn.limit.least_samples += 2;
        (void)with_fewer(given, &drawn);
        scope_end(&scope);
    }
}

/* A share of the time that must be covered: of probes, times outside, and totals and loads. */
static void fewer_readings_never_clear_what_covered_too_little(void **state)
{
    static const struct decimal shares[] = {{50, 0}, {75, 0}, {90, 0}, {100, 0}};
    static const int stands[] = {43200, 86400, 259200};
    struct given *given = *state;
    int had_too_little = 0;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct limit like = scope.limit;

        like.least_coverage = shares[i % ARRAY_LEN(shares)];
        like.kinds = KIND_PROBE;
        like.reading_stands_s = stands[i / 7 % ARRAY_LEN(stands)];

        struct drawn drawn = drawn_of_any(i, &like);

        had_too_little += with_fewer(given, &drawn);
        scope_end(&scope);
    }
    assert_in_range(had_too_little, CASES / 10, CASES);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        CASE(every_statistic_is_drawn_within_outside_and_neither),
        CASE(another_unit_changes_no_verdict),
        CASE(the_order_of_rows_changes_no_verdict),
        CASE(two_samples_of_one_instant_are_ordered_by_number),
        CASE(a_less_than_more_never_turns_a_breach_into_a_pass),
        CASE(a_value_inside_the_bound_never_turns_within_into_outside),
        CASE(a_value_inside_the_bound_may_raise_some_figures_beyond_it),
        CASE(doubt_never_turns_outside_into_within),
        CASE(fewer_readings_never_clear_what_had_too_little),
        CASE(fewer_readings_never_clear_what_covered_too_little),
    };

    return cmocka_run_group_tests_name("judge/properties", tests, NULL, NULL);
}

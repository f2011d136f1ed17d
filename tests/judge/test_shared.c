#include "judge/drawn.h"
#include "judge/explain_json.h"
#include "judge/shared.h"
#include "judge/verdict_copy.h"

/*
 * A clause that is judged after others, and takes of theirs what it can, comes to the same verdict
 * as by itself: compared as the whole explanation, letter for letter.
 */

enum { CASES = 150, CLAUSES = 8 };

static const enum limit_statistic any_statistic[] = {
    STATISTIC_VALUE,          STATISTIC_MEAN,
    STATISTIC_GEOMETRIC_MEAN, STATISTIC_MEDIAN,
    STATISTIC_MINIMUM,        STATISTIC_MAXIMUM,
    STATISTIC_PERCENTILE,     STATISTIC_COUNT_BEYOND,
    STATISTIC_SHARE_BEYOND,   STATISTIC_LOG_NORMAL_PERCENTILE,
};

static char *verdict_text(struct given *given, const struct limit *limit, struct shared *shared)
{
    static const struct explain_choices choices = {.every_reading = true};
    CLEANUP(arena_free) struct arena *room = arena_new();
    struct buf text = buf_new(given->mem);
    struct json_writer json = json_begin(&text);
    struct verdict verdict = {0};

    judge_limit_in_brief(room, shared, limit, &given->evidence, given->from, given->to, &verdict);
    verdict = verdict_copy_brief(given->mem, &verdict);
    verdict.limit = limit;
    judge_explain_json(given->mem, &verdict, &given->evidence, &choices, &json);
    json_end(&json);

    return text.data;
}

/* A row set aside, at times: then nothing is shared. */
static void aside_drawn(struct given *given, struct drawn *drawn)
{
    if (drawn_one_in(drawn, 4))
        (void)given_row(given, given_at("2026-03-12T10:00:00Z"), "31", "mg/L");
}

/* One series, with results that are all plain in most cases. */
static struct drawn results_drawn(struct given *given, uint64_t number, const struct limit *like)
{
    struct drawn drawn = drawn_case(number, like, any_statistic, ARRAY_LEN(any_statistic), false);

    for (size_t i = 0; i < drawn.count && number % 4 != 0; i++) {
        drawn.results[i].qualifier = QUALIFIER_NONE;
        drawn.results[i].doubt = false;
        if (number % 4 == 1) /* all of them within, so that the ends speak for the rest */
            drawn.results[i].value = (struct decimal){200 + drawn_int(&drawn, 100), 1};
    }
    drawn_fill(given, &drawn, NULL, false);
    aside_drawn(given, &drawn);

    return drawn;
}

static void after_others_a_verdict_is_the_same_as_by_itself(void **state)
{
    struct given *given = *state;
    const struct limit like = given->limit;
    struct arena *outer = given->mem;

    for (uint64_t number = 0; number < CASES; number++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        CLEANUP(arena_free) struct arena *kept = arena_new();
        struct shared *shared = shared_new(mem, kept);
        struct drawn drawn;

        given->mem = mem;
        drawn = results_drawn(given, number, &like);
        for (int clause = 0; clause < CLAUSES; clause++) {
            char *after;
            char *alone;

            while (!drawn_limit(&drawn, &like, any_statistic, ARRAY_LEN(any_statistic), false))
                continue;
            after = verdict_text(given, &drawn.limit, shared);
            alone = verdict_text(given, &drawn.limit, NULL);
            if (strcmp(after, alone) != 0)
                fail_msg("%s\n  alone: %s\n  after: %s", drawn_text(mem, &drawn), alone, after);
        }
        given_again(given);
        given->mem = outer;
    }
}

/* --- clauses that differ in what they read ---------------------------------------------------- */

static const char *const lab[] = {"lab-1"};
static const char *const method[] = {"method-1"};
static const char *const taker[] = {"Robin Example"};

static void other_station(struct limit *limit)
{
    limit->station = "intake";
}

static void other_position(struct limit *limit)
{
    limit->position = "bottom";
}

static void other_parameter(struct limit *limit)
{
    limit->parameter = "turbidity-fnu";
}

static void other_unit(struct limit *limit)
{
    limit->unit = "ug/L";
}

static void other_kind(struct limit *limit)
{
    limit->kinds = KIND_PROBE;
}

static void of_one_method(struct limit *limit)
{
    limit->methods = method;
    limit->method_count = 1;
}

static void of_one_laboratory(struct limit *limit)
{
    limit->instruments = lab;
    limit->instrument_count = 1;
}

static void of_one_taker(struct limit *limit)
{
    limit->takers = taker;
    limit->taker_count = 1;
}

static void only_accredited(struct limit *limit)
{
    limit->accredited = true;
}

static void without_causes(struct limit *limit)
{
    limit->without_looking_for_cause = true;
}

static void day_from_noon(struct limit *limit)
{
    limit->day_starts_hour = 12;
}

static void day_of_its_end(struct limit *limit)
{
    limit->span_belongs = BELONGS_ENDED;
}

static void in_force_later(struct limit *limit)
{
    limit->in_force_from = day_from_civil(2026, 3, 10);
    limit->change = CHANGE_NEW;
    limit->period = PERIOD_DAY;
    limit->statistic = STATISTIC_VALUE;
}

static void in_force_earlier(struct limit *limit)
{
    in_force_later(limit);
    limit->in_force_from = DAY_NONE;
    limit->in_force_to = day_from_civil(2026, 3, 10);
}

static void by_hours(struct limit *limit)
{
    limit->hours = (struct limit_hours){true, 8 * 60, 10 * 60};
}

static void by_season(struct limit *limit)
{
    limit->season = (struct limit_season){true, 310, 331};
}

static void while_discharging(struct limit *limit)
{
    limit->only_while_discharging = true;
}

static void by_week(struct limit *limit)
{
    limit->period = PERIOD_WEEK;
    limit->period_belongs = BELONGS_BOTH;
}

static void with_an_intake(struct limit *limit)
{
    limit->against = (struct limit_against){
        .kind = AGAINST_DIFFERENCE, .place = {.station = "intake"}, .pairing = PAIR_SAME_DAY};
}

static void with_another_place(struct limit *limit)
{
    static const struct limit_place places[] = {{.station = "intake"}};

    limit->added = places;
    limit->added_count = 1;
}

static void portions_averaged(struct limit *limit)
{
    limit->replicates = ALIKE_AVERAGED;
    limit->side_by_side = ALIKE_AVERAGED;
}

static void nothing_else(struct limit *limit)
{
    limit->bound.ceiling = (struct decimal){41, 0};
}

static const struct other_row {
    const char *what;
    void (*make)(struct limit *limit);
} others[] = {
    {"another bound alone", nothing_else},
    {"another station", other_station},
    {"another position", other_position},
    {"another parameter", other_parameter},
    {"another unit", other_unit},
    {"another kind", other_kind},
    {"one method", of_one_method},
    {"one laboratory", of_one_laboratory},
    {"one taker", of_one_taker},
    {"accredited only", only_accredited},
    {"none that looks for a cause", without_causes},
    {"a day that starts at noon", day_from_noon},
    {"spans by their end", day_of_its_end},
    {"in force later", in_force_later},
    {"in force earlier", in_force_earlier},
    {"hours of the day", by_hours},
    {"a season", by_season},
    {"only while discharging", while_discharging},
    {"weeks, which reach over the month", by_week},
    {"net of an intake", with_an_intake},
    {"with another place", with_another_place},
    {"portions averaged", portions_averaged},
};

/* Readings such that each of the rows above reads others than the clause does, or otherwise. */
static void readings_fill(struct given *given)
{
    static const struct discharge_day shut = {.state = DISCHARGE_NONE, .because = "shut"};
    size_t plain = given_series(given, "outfall", "suspended-solids", KIND_GRAB);
    size_t other = given_series(given, "intake", "suspended-solids", KIND_GRAB);

    for (int day = 1; day <= 31; day++) {
        instant at = given_at("2026-03-01T00:00:00Z") + (day - 1) * DAY_US + 9 * 3600 * SECOND_US;
        struct evidence_reading *reading =
            given_add(given, plain, at, arena_printf(given->mem, "%d", day), "mg/L");

        reading->sample = arena_printf(given->mem, "S%d", day / 2);
        reading->until = at + 20 * 3600 * SECOND_US;
        reading->looks_for_cause = day == 31;
        (void)given_add(given, other, at, "2", "mg/L");
    }
    given->days[0] = shut;
    given->days[0].day = day_from_civil(2026, 3, 31);
    given->evidence.day_count = 1;
}

static void a_clause_that_reads_otherwise_takes_nothing_of_the_one_before(void **state)
{
    struct given *given = *state;
    const struct limit like = given->limit;
    CLEANUP(arena_free) struct arena *kept = arena_new();
    struct shared *shared = shared_new(given->mem, kept);

    given_again(given);
    readings_fill(given);
    for (size_t i = 0; i < ARRAY_LEN(others); i++) {
        struct limit other = like;
        char *before = verdict_text(given, &like, shared);

        others[i].make(&other);

        char *after = verdict_text(given, &other, shared);
        char *again = verdict_text(given, &like, shared);

        if (strcmp(after, verdict_text(given, &other, NULL)) != 0)
            fail_msg("%s: after another clause it is %s", others[i].what, after);
        if (strcmp(before, after) == 0)
            fail_msg("%s: the readings don't tell it from the clause before", others[i].what);
        assert_string_equal(before, again);
    }
}

/* --- clauses that look at other days, or at the time between readings ------------------------ */

static void by_last_days(struct limit *limit)
{
    limit->daily = DAILY_MAXIMUM;
    limit->period = PERIOD_LAST_SAMPLES;
    limit->last_samples = 4;
}

static void by_running_days(struct limit *limit)
{
    limit->daily = DAILY_MEAN;
    limit->period = PERIOD_RUNNING_DAYS;
    limit->running_days = 7;
}

static void by_change(struct limit *limit)
{
    limit->statistic = STATISTIC_CHANGE;
    limit->settings.change_span_s = 8 * 3600;
}

static void by_longer_change(struct limit *limit)
{
    by_change(limit);
    limit->settings.change_span_s = 30 * 3600;
}

static void by_fall(struct limit *limit)
{
    by_change(limit);
    limit->settings.change_direction = CHANGE_FALL;
}

static void by_rate(struct limit *limit)
{
    limit->statistic = STATISTIC_RATE;
    limit->settings.rate_per_s = 3600;
}

static void by_time_outside(struct limit *limit)
{
    limit->statistic = STATISTIC_TIME_OUTSIDE;
    limit->settings.beyond = (struct limit_beyond){.has_above = true, .above = {20, 0}};
    limit->settings.time_unit_s = 60;
    limit->reading_stands_s = 12 * 3600;
}

static void by_longest_outside(struct limit *limit)
{
    by_time_outside(limit);
    limit->statistic = STATISTIC_LONGEST_OUTSIDE;
}

static void by_time_in_hours(struct limit *limit)
{
    by_time_outside(limit);
    limit->settings.time_unit_s = 3600;
    limit->settings.beyond.above.coefficient = 25;
}

static void covered(struct limit *limit)
{
    limit->least_coverage = (struct decimal){50, 0};
    limit->reading_stands_s = 12 * 3600;
}

static void covered_by_shorter_steps(struct limit *limit)
{
    covered(limit);
    limit->reading_stands_s = 3600;
}

static void less_thans_at_limit(struct limit *limit)
{
    by_change(limit);
    limit->less_than = LESS_THAN_AT_LIMIT;
}

static void less_thans_half(struct limit *limit)
{
    by_change(limit);
    limit->less_than = LESS_THAN_HALF;
}

static const struct other_row looks[] = {
    {"the month", nothing_else},
    {"last samples, a day each", by_last_days},
    {"a change", by_change},
    {"weeks", by_week},
    {"a time outside", by_time_outside},
    {"running days", by_running_days},
    {"a longer change", by_longer_change},
    {"less-thans at their limit, in a change", less_thans_at_limit},
    {"half of less-thans, in a change", less_thans_half},
    {"a fall", by_fall},
    {"a rate", by_rate},
    {"the longest time outside", by_longest_outside},
    {"a time outside in hours, of other numbers", by_time_in_hours},
    {"a share of the time covered", covered},
    {"a share of the time covered in shorter steps", covered_by_shorter_steps},
};

/* What stands before the month: all plain, a less-than, or a reading in doubt. */
static void probe_fill(struct given *given, const char *before, bool doubt)
{
    enum { STEPS_A_DAY = 4, DAYS = 50 };
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_PROBE);
    instant at = given_at("2026-02-14T03:00:00Z");

    for (int i = 0; i < DAYS * STEPS_A_DAY; i++, at += DAY_US / STEPS_A_DAY) {
        bool last_before = at + DAY_US / STEPS_A_DAY > given_at("2026-03-01T00:00:00Z") &&
                           at < given_at("2026-03-01T00:00:00Z");
        const char *value =
            last_before ? before : arena_printf(given->mem, "%d.%d", 10 + i * 7 % 19, i % 10);
        struct evidence_reading *reading = given_add(given, series, at, value, "mg/L");

        reading->doubt = last_before && doubt ? "flagged" : NULL;
    }
}

static void clauses_that_look_otherwise_stand_between_each_other_unharmed(void **state)
{
    static const struct {
        const char *before;
        bool doubt;
    } rows[] = {{"12", false}, {"<24", false}, {"24", true}};
    struct given *given = *state;
    CLEANUP(arena_free) struct arena *kept = arena_new();

    for (size_t row = 0; row < ARRAY_LEN(rows); row++) {
        struct shared *shared = shared_new(given->mem, kept);

        given_again(given);
        probe_fill(given, rows[row].before, rows[row].doubt);
        for (size_t i = 0; i < 3 * ARRAY_LEN(looks); i++) {
            const struct other_row *look = &looks[i % ARRAY_LEN(looks)];
            struct limit limit = given->limit;

            look->make(&limit);
            limit.bound.ceiling.coefficient += (int64_t)i;

            char *after = verdict_text(given, &limit, shared);

            if (strcmp(after, verdict_text(given, &limit, NULL)) != 0)
                fail_msg("%s, with %s before the month: after others it is %s", look->what,
                         rows[row].before, after);
        }
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        CASE(after_others_a_verdict_is_the_same_as_by_itself),
        CASE(a_clause_that_reads_otherwise_takes_nothing_of_the_one_before),
        CASE(clauses_that_look_otherwise_stand_between_each_other_unharmed),
    };

    return cmocka_run_group_tests_name("judge/shared", tests, NULL, NULL);
}

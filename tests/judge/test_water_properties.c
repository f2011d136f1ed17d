#include "judge/drawn.h"

/*
 * What holds of every load, total and flow-weighted mean whatever rows of its flow were set aside,
 * tried on cases drawn at random. A case that breaks a property is printed with its number.
 */

enum { CASES = 1000, ROWS_MOST = 4 };

static const enum limit_statistic statistics[] = {
    STATISTIC_SUM,  STATISTIC_SUM,     STATISTIC_FLOW_WEIGHTED_MEAN,
    STATISTIC_MEAN, STATISTIC_MAXIMUM, STATISTIC_VALUE,
};

/* A case with a flow, and rows of it that are set aside. */
struct watered {
    struct drawn drawn;
    struct evidence_set_aside rows[ROWS_MOST];
    size_t row_count;
};

static struct evidence_set_aside row_of(struct drawn *drawn, bool readable)
{
    static const struct decimal flows[] = {{0, 0}, {5, 1}, {1, 0}, {2, 0}, {6, 0}, {60, 0}};
    bool has_unit = readable || !drawn_one_in(drawn, 3);
    bool has_time = readable || !drawn_one_in(drawn, 5);
    bool has_value = readable || !drawn_one_in(drawn, 6);
    instant first = given_at("2026-03-01T00:00:00Z");

    return (struct evidence_set_aside){
        .station = "outfall",
        .parameter = readable || !drawn_one_in(drawn, 4) ? "flow" : NULL,
        .at = has_time ? first + drawn_int(drawn, 31 * 48) * (HOUR_US / 2) : INSTANT_NONE,
        .has_value = has_value,
        .qualifier = readable || !drawn_one_in(drawn, 6) ? QUALIFIER_NONE : QUALIFIER_GREATER,
        .value = DRAW(drawn, flows),
        .unit = has_unit ? "L/s" : NULL,
        .reason = "drawn",
        .from_probe = readable || drawn_one_in(drawn, 2),
        .origin = {1, 12, 3},
    };
}

/* `readable`: rows that are as good as any reading, and results of which none is in doubt. */
static struct watered watered_of(uint64_t number, const struct limit *like, bool readable)
{
    static const int stands[] = {43200, 86400, 172800};
    struct limit with_flow = *like;
    struct watered watered;
    int rule;

    with_flow.flow = (struct limit_flow){like->station, "flow"};
    watered.drawn = drawn_case(number, &with_flow, statistics, ARRAY_LEN(statistics), false);
    rule = drawn_int(&watered.drawn, 3);
    watered.drawn.limit.reading_stands_s = DRAW(&watered.drawn, stands);
    watered.drawn.limit.standing_rule = rule;
    for (size_t i = 0; i < watered.drawn.count && readable; i++)
        watered.drawn.results[i].doubt = false;
    watered.row_count = 1 + (size_t)drawn_int(&watered.drawn, ROWS_MOST);
    for (size_t i = 0; i < watered.row_count; i++)
        watered.rows[i] = row_of(&watered.drawn, readable);

    return watered;
}

/* With the first so many of its rows. */
static struct verdict judged(struct given *given, const struct watered *watered, size_t rows)
{
    drawn_fill(given, &watered->drawn, NULL, false);
    for (size_t i = 0; i < rows; i++)
        given->rows[given->evidence.set_aside_count++] = watered->rows[i];

    return given_verdict(given);
}

static void show_broken(struct given *given, const struct watered *watered, const char *what,
                        const struct verdict *before, const struct verdict *after)
{
    struct buf text = buf_new(given->mem);

    for (size_t i = 0; i < watered->row_count; i++) {
        const struct evidence_set_aside *row = &watered->rows[i];

        buf_addf(&text, " [%s%s%s %s %s]", row->at == INSTANT_NONE ? "" : "at ",
                 row->at == INSTANT_NONE ? "no time"
                                         : zone_text(given->mem, given->evidence.zone, row->at),
                 row->parameter ? "" : " of any",
                 row->has_value ? decimal_text(given->mem, row->value) : "none",
                 row->unit ? row->unit : "?");
    }
    fail_msg("%s: %s; rows%s\n  before: %s\n  after: %s", what,
             drawn_text(given->mem, &watered->drawn), text.data, before->words, after->words);
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

static void rows_of_a_flow_never_clear_anything(void **state)
{
    struct given *given = *state;
    int stopped = 0;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct watered watered = watered_of(i, &scope.limit, false);
        struct verdict before = judged(given, &watered, 0);
        struct verdict after = judged(given, &watered, watered.row_count);

        if (before.standing == STANDING_OUTSIDE && !before.rests_on_doubt &&
            after.standing != STANDING_OUTSIDE)
            show_broken(given, &watered, "a row turns outside away", &before, &after);
        if (before.standing != STANDING_WITHIN && after.standing == STANDING_WITHIN)
            show_broken(given, &watered, "a row makes it within", &before, &after);
        stopped += before.standing == STANDING_WITHIN && after.standing != STANDING_WITHIN;
        scope_end(&scope);
    }
    assert_in_range(stopped, CASES / 50, CASES);
}

static void a_row_more_never_hides_what_another_shows(void **state)
{
    static const int worse[] = {
        [STANDING_WITHIN] = 0,
        [STANDING_OUTSIDE] = 2,
        [STANDING_NOT_ASSESSABLE] = 1,
        [STANDING_NOTHING_DUE] = 0,
    };
    struct given *given = *state;
    int shown = 0;

    for (uint64_t i = 0; i < CASES; i++) {
        struct scope scope = scope_begin(given);
        struct watered watered = watered_of(i, &scope.limit, true);
        struct verdict before = judged(given, &watered, 1);
        struct verdict after = judged(given, &watered, watered.row_count);

        if (worse[after.standing] < worse[before.standing])
            show_broken(given, &watered, "a row hides another", &before, &after);
        shown += before.standing == STANDING_OUTSIDE && before.rests_on_doubt;
        scope_end(&scope);
    }
    assert_in_range(shown, CASES / 100, CASES);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        CASE(rows_of_a_flow_never_clear_anything),
        CASE(a_row_more_never_hides_what_another_shows),
    };

    return cmocka_run_group_tests_name("judge/water properties", tests, NULL, NULL);
}

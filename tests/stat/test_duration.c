#include "harness/values.h"

#include <stdlib.h>

#include "base/macro.h"
#include "stat/duration.h"

#define MINUTE_US INT64_C(60000000)
enum { READINGS_MOST = 64, MINUTES_OF_MAY = 31 * 24 * 60 };

/* "0:8.9 15:9.2": minute and value. */
static struct timed_value *readings_read(struct arena *mem, const char *text, size_t *count)
{
    struct timed_value *readings = ARENA_ARRAY(mem, struct timed_value, READINGS_MOST);
    char *rest = arena_strdup(mem, text);

    *count = 0;
    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char *value = strchr(word, ':');

        assert_non_null(value);
        *value++ = '\0';
        readings[(*count)++] = (struct timed_value){.at_us = strtol(word, NULL, 10) * MINUTE_US,
                                                    .value = value_read(mem, value)};
    }

    return readings;
}

/* Range 6 to 9, equal is inside, a gap from more than 60 minutes. */
static struct duration_input input_of(struct arena *mem, const char *text,
                                      enum between_readings between, int64_t from, int64_t until)
{
    struct duration_input input = {.between = between,
                                   .gap_us = 60 * MINUTE_US,
                                   .has_ceiling = true,
                                   .ceiling = value_read(mem, "9"),
                                   .has_floor = true,
                                   .floor = value_read(mem, "6"),
                                   .from_us = from * MINUTE_US,
                                   .until_us = until * MINUTE_US};

    input.readings = readings_read(mem, text, &input.count);

    return input;
}

static struct duration duration_of(struct arena *mem, const struct duration_input *input)
{
    struct duration found = {.run_count = 0};
    struct err err = ERR_INIT;

    assert_done(duration_outside(mem, input, &found, &err), &err);
    assert_int_equal(found.covered_us + found.gap_total_us, input->until_us - input->from_us);

    return found;
}

static void assert_minutes(struct arena *mem, const struct exact *us, const char *minutes)
{
    assert_exact(mem, exact_div(mem, us, exact_from_int(mem, MINUTE_US)), minutes);
}

/* Four readings outside, 15 minutes apart: 45 to 75 minutes, by the rule and what is beside. */
#define FOUR_OUTSIDE "0:8.8 15:8.9 30:9.1 45:9.2 60:9.2 75:9.1 90:8.9 105:8.8"

static const struct {
    const char *readings;
    enum between_readings between;
    const char *outside;
    const char *longest;
    size_t runs;
    const char *reason;
} rows[] = {
    {FOUR_OUTSIDE, BETWEEN_TO_NEXT, "60", "60", 1, "30 to 90"},
    {FOUR_OUTSIDE, BETWEEN_HALF_WAY, "60", "60", 1, "22.5 to 82.5"},
    {FOUR_OUTSIDE, BETWEEN_STRAIGHT_LINE, "60", "60", 1, "22.5 to 82.5: 8.9 to 9.1 meets 9 there"},
    {"0:7 15:7 30:9.1 45:9.2 60:9.2 75:9.1 90:7 105:7", BETWEEN_STRAIGHT_LINE, "325/7", "325/7", 1,
     "hardly more than the 45 between the first and the last of them"},
    {"0:7 15:9 30:9.1 45:9.2 60:9.2 75:9.1 90:9 105:7", BETWEEN_STRAIGHT_LINE, "75", "75", 1,
     "all of the 75 between the readings beside them"},
    {"0:8 15:9.1 30:9.1 45:8", BETWEEN_STRAIGHT_LINE, "195/11", "195/11", 1,
     "15 and 15/11 at each side"},
    {"0:8.9 60:9.2 90:8.9", BETWEEN_STRAIGHT_LINE, "60", "60", 1, "exact thirds: 20 to 80"},
    {"0:7 15:9.0 30:9.0 45:7", BETWEEN_TO_NEXT, "0", "0", 0, "exactly 9.0 is in the range"},
    {"0:7 15:9.0 30:9.0 45:7", BETWEEN_STRAIGHT_LINE, "0", "0", 0, "the same on the line"},
    {"0:7 15:5.9 30:7", BETWEEN_TO_NEXT, "15", "15", 1, "below the floor"},
    {"0:7 15:9.5 30:5 45:7", BETWEEN_TO_NEXT, "30", "30", 1, "from above to below: unbroken"},
    {"0:7 15:10 30:5 45:7", BETWEEN_STRAIGHT_LINE, "37/2", "21/2", 2,
     "a line from above to below crosses the range: 5 + 3 and 3 + 7.5"},
    {"0:7 10:9.5 20:8 30:9.5 50:8 60:7", BETWEEN_TO_NEXT, "30", "20", 2, "two runs"},
    {"0:7 10:9.5 20:9 30:9.5 40:7", BETWEEN_STRAIGHT_LINE, "24", "12", 2,
     "a reading at the bound is inside and parts two runs"},
    {"0:9.5 0:7 30:7", BETWEEN_TO_NEXT, "0", "0", 0,
     "two readings of one instant: the later stands"},
};

static void the_rule_between_readings_decides_the_time(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct duration_input input = input_of(mem, rows[i].readings, rows[i].between, 0, 105);
        struct duration found = duration_of(mem, &input);

        assert_minutes(mem, found.outside_us, rows[i].outside);
        assert_minutes(mem, found.longest_us, rows[i].longest);
        assert_int_equal(found.run_count, rows[i].runs);
    }
}

/*
 * 40 CFR 401.17 (its numbers from memory): not more than 446 minutes outside in a month, no
 * excursion over 60. A reading each minute; `runs` minutes outside at the beginning of as many
 * hours.
 */
static struct duration month_of(struct arena *mem, const int *runs, size_t count)
{
    struct timed_value *readings = ARENA_ARRAY(mem, struct timed_value, MINUTES_OF_MAY + 1);
    struct duration_input input = input_of(mem, "", BETWEEN_TO_NEXT, 0, MINUTES_OF_MAY);

    for (int64_t i = 0; i <= MINUTES_OF_MAY; i++) {
        size_t block = (size_t)(i / 120);
        bool outside = block < count && i % 120 < runs[block];

        readings[i] = (struct timed_value){.at_us = i * MINUTE_US,
                                           .value = value_read(mem, outside ? "9.1" : "7")};
    }
    input.readings = readings;
    input.count = MINUTES_OF_MAY + 1;

    return duration_of(mem, &input);
}

static void excursions_of_a_month_add_up(void **state)
{
    static const struct {
        int runs[8];
        const char *total;
        const char *longest;
    } cases[] = {
        {{60, 60, 60, 60, 60, 60, 60, 26}, "446", "60"},
        {{60, 60, 60, 60, 60, 60, 60, 27}, "447", "60"},
        {{61}, "61", "61"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct duration found = month_of(mem, cases[i].runs, ARRAY_LEN(cases[i].runs));

        assert_minutes(mem, found.outside_us, cases[i].total);
        assert_minutes(mem, found.longest_us, cases[i].longest);
        assert_int_equal(found.gap_count, 0);
        assert_int_equal(found.covered_us, MINUTES_OF_MAY * MINUTE_US);
    }
}

/* 23:30 to 00:20 over the end of a month: one excursion of 50 minutes, 30 and 20 in the months. */
static void a_run_over_the_end_of_a_month_is_cut_and_known_whole(void **state)
{
    static const char readings[] = "-60:7 -30:9.1 -10:9.2 10:9.1 20:7 60:7";
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input first = input_of(mem, readings, BETWEEN_TO_NEXT, -60, 0);
    struct duration_input second = input_of(mem, readings, BETWEEN_TO_NEXT, 0, 60);
    struct duration before = duration_of(mem, &first);
    struct duration after = duration_of(mem, &second);

    (void)state;
    assert_int_equal(before.run_count, 1);
    assert_int_equal(after.run_count, 1);
    assert_minutes(mem, before.outside_us, "30");
    assert_minutes(mem, after.outside_us, "20");
    assert_minutes(mem, before.longest_us, "30");
    assert_minutes(mem, before.longest_whole_us, "50");
    assert_minutes(mem, after.longest_whole_us, "50");
    assert_true(before.runs[0].cut_at_until && !before.runs[0].cut_at_from);
    assert_true(after.runs[0].cut_at_from && !after.runs[0].cut_at_until);
    assert_false(before.runs[0].ends_at_gap);
    assert_true(after.runs[0].above && !after.runs[0].below);
}

/* 40 CFR 401.17: three hours without readings inside a run are unknown, not inside and not out. */
static void a_gap_ends_a_run_and_is_not_counted_as_inside(void **state)
{
    static const char readings[] = "0:7 15:9.1 30:9.2 210:9.1 225:9.3 240:7 255:7";
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, readings, BETWEEN_TO_NEXT, 0, 255);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_minutes(mem, found.outside_us, "45");
    assert_int_equal(found.run_count, 2);
    assert_true(found.runs[0].ends_at_gap && !found.runs[0].begins_at_gap);
    assert_true(found.runs[1].begins_at_gap && !found.runs[1].ends_at_gap);
    assert_int_equal(found.gap_count, 1);
    assert_int_equal(found.gap_total_us, 180 * MINUTE_US);
    assert_int_equal(found.covered_us, 75 * MINUTE_US);
    assert_false(found.gaps[0].at_edge);
}

static void a_step_as_long_as_the_gap_is_none(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "0:9.1 60:7 121:7", BETWEEN_TO_NEXT, 0, 121);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_minutes(mem, found.outside_us, "60");
    assert_int_equal(found.gap_total_us, 61 * MINUTE_US);
}

static void what_lies_before_the_first_reading_and_after_the_last_is_unknown(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "10:9.1 20:9.1", BETWEEN_HALF_WAY, 0, 60);
    struct duration_input none = input_of(mem, "", BETWEEN_HALF_WAY, 0, 60);
    struct duration_input other =
        input_of(mem, "-90:9.1 -80:9.1 90:9.5 95:9.5", BETWEEN_STRAIGHT_LINE, 0, 60);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_minutes(mem, found.outside_us, "10");
    assert_int_equal(found.gap_count, 2);
    assert_true(found.gaps[0].at_edge && found.gaps[1].at_edge);
    assert_true(found.runs[0].begins_at_gap && found.runs[0].ends_at_gap);
    found = duration_of(mem, &none);
    assert_int_equal(found.gap_total_us, 60 * MINUTE_US);
    assert_minutes(mem, found.outside_us, "0");
    found = duration_of(mem, &other);
    assert_int_equal(found.run_count, 0);
    assert_int_equal(found.gap_total_us, 60 * MINUTE_US);
}

static void a_run_that_the_next_reading_ends_is_not_ended_by_the_gap_after_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "0:7 10:9.1 20:7 200:7", BETWEEN_TO_NEXT, 0, 200);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_false(found.runs[0].ends_at_gap);
}

/* No time goes by at it, so it shows in the count of readings alone. */
static void a_lone_reading_outside_between_two_gaps_is_counted(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "0:7 100:9.4 200:7 210:7", BETWEEN_TO_NEXT, 0, 210);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_minutes(mem, found.outside_us, "0");
    assert_int_equal(found.readings_outside, 1);
    assert_int_equal(found.readings_inside, 2);
}

static void a_bound_that_is_reached_counts_where_the_licence_says_so(void **state)
{
    static const enum between_readings all[] = {BETWEEN_TO_NEXT, BETWEEN_HALF_WAY,
                                                BETWEEN_STRAIGHT_LINE};
    static const char *const expected[] = {"20", "20", "10"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(all); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct duration_input input = input_of(mem, "0:7 10:9.0 20:9 30:7", all[i], 0, 30);
        struct duration found;

        input.ceiling_reached_is_outside = true;
        found = duration_of(mem, &input);
        assert_minutes(mem, found.outside_us, expected[i]);
        assert_int_equal(found.run_count, 1);
    }
}

static void a_line_that_comes_to_the_bound_and_leaves_it_is_two_runs(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "0:9.5 20:9 30:9.5", BETWEEN_STRAIGHT_LINE, 0, 30);
    struct duration found = duration_of(mem, &input);

    (void)state;
    assert_minutes(mem, found.outside_us, "30");
    assert_minutes(mem, found.longest_us, "20");
    assert_int_equal(found.run_count, 2);
    input.ceiling_reached_is_outside = true;
    found = duration_of(mem, &input);
    assert_minutes(mem, found.longest_us, "30");
    assert_int_equal(found.run_count, 1);
}

/*
 * Against going through a period tick by tick: rows of readings from a simple generator, with gaps
 * and instants that come twice.
 */
enum { ROWS = 400, ROW_READINGS = 12, ROW_GAP = 8, ROW_FROM = 10, ROW_UNTIL = 50 };

/* The reading that stands at the middle of the tick after `tick`; NULL: nothing is known of it. */
static const struct timed_value *standing_at(const struct duration_input *input, int64_t tick)
{
    for (size_t i = 0; i + 1 < input->count; i++) {
        const struct timed_value *from = &input->readings[i];
        const struct timed_value *until = from + 1;

        if (tick < from->at_us || tick >= until->at_us)
            continue;
        if (until->at_us - from->at_us > input->gap_us)
            return NULL;
        if (input->between == BETWEEN_HALF_WAY && 2 * tick >= from->at_us + until->at_us)
            return until;

        return from;
    }

    return NULL;
}

static void going_tick_by_tick_gives_the_same(void **state)
{
    uint32_t seed = 2026;

    (void)state;
    for (int row = 0; row < ROWS; row++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct timed_value readings[ROW_READINGS];
        struct duration_input input =
            input_of(mem, "", row % 2 == 0 ? BETWEEN_TO_NEXT : BETWEEN_HALF_WAY, 0, 0);
        int64_t outside = 0;
        int64_t covered = 0;
        int64_t at = 0;

        for (size_t i = 0; i < ROW_READINGS; i++) {
            seed = seed * 1664525U + 1013904223U;
            at += (seed >> 28) % 6 * 2; /* even, so that half-way is a tick */
            readings[i] = (struct timed_value){
                .at_us = at,
                .value = amount_from_decimal((struct decimal){(seed >> 20) % 6 + 5, 0})};
        }
        input.readings = readings;
        input.count = ROW_READINGS;
        input.gap_us = ROW_GAP;
        input.from_us = ROW_FROM;
        input.until_us = ROW_UNTIL;
        for (int64_t tick = ROW_FROM; tick < ROW_UNTIL; tick++) {
            const struct timed_value *reading = standing_at(&input, tick);

            covered += reading != NULL;
            outside += reading && (reading->value.decimal.coefficient > 9 ||
                                   reading->value.decimal.coefficient < 6);
        }

        struct duration found = duration_of(mem, &input);

        assert_int_equal(found.covered_us, covered);
        assert_int_equal(exact_compare(found.outside_us, exact_from_int(mem, outside)), 0);
    }
}

static void nonsense_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct duration_input input = input_of(mem, "10:7 0:7", BETWEEN_TO_NEXT, 0, 30);
    struct duration found = {.run_count = 0};
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(duration_outside(mem, &input, &found, &err), ERR_BUG, &err);
    input.count = 1;
    input.gap_us = 0;
    assert_fails(duration_outside(mem, &input, &found, &err), ERR_BUG, &err);
    input.gap_us = 1;
    input.has_ceiling = input.has_floor = false;
    assert_fails(duration_outside(mem, &input, &found, &err), ERR_BUG, &err);
    assert_null(found.outside_us);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rule_between_readings_decides_the_time),
        cmocka_unit_test(excursions_of_a_month_add_up),
        cmocka_unit_test(a_run_over_the_end_of_a_month_is_cut_and_known_whole),
        cmocka_unit_test(a_gap_ends_a_run_and_is_not_counted_as_inside),
        cmocka_unit_test(a_step_as_long_as_the_gap_is_none),
        cmocka_unit_test(what_lies_before_the_first_reading_and_after_the_last_is_unknown),
        cmocka_unit_test(a_run_that_the_next_reading_ends_is_not_ended_by_the_gap_after_it),
        cmocka_unit_test(a_lone_reading_outside_between_two_gaps_is_counted),
        cmocka_unit_test(a_bound_that_is_reached_counts_where_the_licence_says_so),
        cmocka_unit_test(a_line_that_comes_to_the_bound_and_leaves_it_is_two_runs),
        cmocka_unit_test(going_tick_by_tick_gives_the_same),
        cmocka_unit_test(nonsense_is_refused),
    };

    return cmocka_run_group_tests_name("stat/duration", tests, NULL, NULL);
}

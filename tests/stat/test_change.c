#include "harness/values.h"

#include <stdlib.h>

#include "base/macro.h"
#include "stat/change.h"

#define MINUTE_US INT64_C(60000000)
#define HOUR_US (60 * MINUTE_US)
enum { READINGS_MOST = 64 };

static size_t readings_read(struct arena *mem, const char *text, struct timed_value *out)
{
    char *rest = arena_strdup(mem, text);
    size_t count = 0;

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char *value = strchr(word, ':');

        assert_non_null(value);
        *value++ = '\0';
        out[count++] = (struct timed_value){.at_us = strtol(word, NULL, 10) * MINUTE_US,
                                            .value = value_read(mem, value)};
    }

    return count;
}

static const struct {
    const char *readings;
    enum change_way way;
    const char *within_hour; /* NULL: no two readings are near enough */
    size_t first;
    size_t second;
    const char *an_hour; /* rate */
    const char *reason;
} rows[] = {
    {"600:15.0 640:16.4", CHANGE_WAY_RISE, "1.4", 0, 1, "2.1",
     "1.4 in 40 minutes: 2.1 an hour, but only 1.4 within the hour (ANZECC 2000's limit of 2.0 in "
     "1 hour, from memory, is kept by one reading of it and not by the other)"},
    {"0:15 30:16 60:17 90:16", CHANGE_WAY_RISE, "2", 0, 2, "2", "an hour apart still counts"},
    {"0:15 30:16 61:17", CHANGE_WAY_RISE, "1", 0, 1, "2", "a minute more does not"},
    {"0:17 30:15 60:16", CHANGE_WAY_RISE, "1", 1, 2, "2", "from the lowest in the hour"},
    {"0:17 30:15 60:16", CHANGE_WAY_FALL, "2", 0, 1, "4", "a fall"},
    {"0:17 30:15 60:18", CHANGE_WAY_EITHER, "3", 1, 2, "6", "whichever is greater"},
    {"0:17 30:16 60:15", CHANGE_WAY_RISE, "0", 0, 0, "0", "it never rose"},
    {"0:15 30:15.5 300:20", CHANGE_WAY_RISE, "0.5", 0, 1, "1",
     "a rise over a gap is not in an hour"},
    {"0:15 90:20", CHANGE_WAY_RISE, NULL, 0, 0, "10/3", "no two within the hour"},
    {"0:1/3 20:1", CHANGE_WAY_EITHER, "2/3", 0, 1, "2", "rationals"},
    {"0:5 10:6 20:5 30:6", CHANGE_WAY_RISE, "1", 0, 1, "6", "the earliest of equals"},
};

static void the_greatest_change_within_an_hour_is_found(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct timed_value readings[READINGS_MOST];
        size_t count = readings_read(mem, rows[i].readings, readings);
        struct change found = {.size = NULL};
        struct err err = ERR_INIT;

        if (!rows[i].within_hour) {
            assert_fails(
                change_within_span(mem, readings, count, HOUR_US, rows[i].way, &found, &err),
                ERR_INVALID, &err);
            assert_null(found.size);
            continue;
        }
        assert_done(change_within_span(mem, readings, count, HOUR_US, rows[i].way, &found, &err),
                    &err);
        assert_exact(mem, found.size, rows[i].within_hour);
        assert_int_equal(found.first, rows[i].first);
        assert_int_equal(found.second, rows[i].second);
        assert_int_equal(found.fell, rows[i].way == CHANGE_WAY_FALL);
    }
}

static void the_greatest_rate_between_neighbours_is_found(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct timed_value readings[READINGS_MOST];
        size_t count = readings_read(mem, rows[i].readings, readings);
        struct change found = {.size = NULL};
        struct err err = ERR_INIT;
        /* The step over the gap counts only where it is not left out. */
        int64_t longest_us = i == 7 ? HOUR_US : 0;

        assert_done(
            change_rate(mem, readings, count, HOUR_US, longest_us, rows[i].way, &found, &err),
            &err);
        assert_exact(mem, found.size, rows[i].an_hour);
    }
}

/* Against trying every pair: a long row of numbers from a simple generator. */
static void every_pair_gives_the_same(void **state)
{
    enum { COUNT = 300, SPAN_MINUTES = 25 };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct timed_value readings[COUNT];
    uint32_t seed = 12345;
    int64_t at = 0;

    (void)state;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1664525U + 1013904223U;
        at += seed >> 29;
        readings[i].at_us = at * MINUTE_US;
        readings[i].value = amount_from_decimal((struct decimal){(int64_t)(seed >> 20 & 255), 1});
    }
    for (int way = CHANGE_WAY_RISE; way <= CHANGE_WAY_EITHER; way++) {
        struct change found = {.size = NULL};
        int64_t greatest = 0;
        struct err err = ERR_INIT;

        for (size_t i = 0; i < COUNT; i++)
            for (size_t k = i; k < COUNT; k++) {
                int64_t moved =
                    readings[k].value.decimal.coefficient - readings[i].value.decimal.coefficient;

                if (readings[k].at_us - readings[i].at_us > SPAN_MINUTES * MINUTE_US)
                    break;
                if (way == CHANGE_WAY_FALL || (way == CHANGE_WAY_EITHER && moved < 0))
                    moved = -moved;
                greatest = moved > greatest ? moved : greatest;
            }
        assert_done(change_within_span(mem, readings, COUNT, SPAN_MINUTES * MINUTE_US,
                                       (enum change_way)way, &found, &err),
                    &err);
        assert_int_equal(exact_compare(found.size, exact_from_ratio(mem, greatest, 10)), 0);
        assert_true(readings[found.second].at_us - readings[found.first].at_us <=
                    SPAN_MINUTES * MINUTE_US);
    }
}

static void two_values_of_one_instant_have_no_rate(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct timed_value readings[READINGS_MOST];
    size_t count = readings_read(mem, "0:1 0:2 10:3", readings);
    struct change found = {.size = NULL};
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(change_rate(mem, readings, count, HOUR_US, 0, CHANGE_WAY_RISE, &found, &err),
                 ERR_INVALID, &err);
    assert_fails(change_rate(mem, readings, 1, HOUR_US, 0, CHANGE_WAY_RISE, &found, &err),
                 ERR_INVALID, &err);
    assert_fails(change_rate(mem, readings, count, 0, 0, CHANGE_WAY_RISE, &found, &err), ERR_BUG,
                 &err);
    readings[0].at_us = HOUR_US;
    assert_fails(change_within_span(mem, readings, count, HOUR_US, CHANGE_WAY_RISE, &found, &err),
                 ERR_BUG, &err);
    assert_null(found.size);
}

/* A fall of 8 that ended before is not the day's; the one of 4 after it is. */
static void a_greater_change_that_ended_before_is_not_of_the_day(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct timed_value readings[READINGS_MOST];
    size_t count = readings_read(mem, "0:35 10:27 30:29 40:25", readings);
    struct change found = {.size = NULL};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(change_within_span_since(mem, readings, count, HOUR_US / 2, CHANGE_WAY_FALL,
                                         readings[2].at_us, &found, &err),
                &err);
    assert_int_equal(exact_compare(found.size, exact_from_int(mem, 6)), 0);
    assert_int_equal(found.first, 0);
    assert_int_equal(found.second, 2);
    assert_done(change_within_span_since(mem, readings, count, HOUR_US / 6, CHANGE_WAY_FALL,
                                         readings[2].at_us, &found, &err),
                &err);
    assert_int_equal(exact_compare(found.size, exact_from_int(mem, 4)), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_greater_change_that_ended_before_is_not_of_the_day),
        cmocka_unit_test(the_greatest_change_within_an_hour_is_found),
        cmocka_unit_test(the_greatest_rate_between_neighbours_is_found),
        cmocka_unit_test(every_pair_gives_the_same),
        cmocka_unit_test(two_values_of_one_instant_have_no_rate),
    };

    return cmocka_run_group_tests_name("stat/change", tests, NULL, NULL);
}

#include "trust/flag_spans.h"

#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/macro.h"
#include "harness/cmocka.h"

/* A value's flag of one test, at an hour; all other tests pass. */
static struct sensor_flags flagged(int hour, enum sensor_test test, int flag)
{
    struct sensor_flags flags = {.at = hour * HOUR_US, .value = hour};

    memset(flags.flags, FLAG_PASS, sizeof(flags.flags));
    flags.flags[test] = (unsigned char)flag;

    return flags;
}

/* "flat line 3 2-5 (4)" each, "+" in front where it goes on from the day before. */
static char *spans_text(struct arena *mem, const struct flag_spans *spans)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < spans->count; i++) {
        const struct flag_span *span = &spans->items[i];

        buf_addf(&text, "%s%s%s %d %d-%d (%d)", i ? ", " : "", span->continues ? "+" : "",
                 sensor_test_words[span->test], (int)span->flag, (int)(span->from / HOUR_US),
                 (int)(span->until / HOUR_US), (int)span->values);
    }

    return text.data;
}

/* A digit an hour, from an hour on. */
static struct flag_spans spans_of(struct arena *mem, enum sensor_test test, int hour,
                                  const char *flags, instant from)
{
    struct flag_collector collector;

    flag_collector_begin(&collector, mem, from);
    for (size_t i = 0; flags[i]; i++) {
        struct sensor_flags value = flagged(hour + (int)i, test, flags[i] - '0');

        flag_collector_add(&collector, &value);
    }
    flag_collector_end(&collector);

    return collector.done;
}

static const struct {
    const char *why;
    enum sensor_test test;
    int hour;
    const char *flags;
    const char *spans;
} rows[] = {
    {"nothing is flagged", SENSOR_FLAT, 0, "12191", ""},
    {"alike in a row", SENSOR_FLAT, 0, "113331", "flat line 3 2-4 (3)"},
    {"to the end", SENSOR_SPIKE, 0, "144", "spike 4 1-2 (2)"},
    {"from bad to worse", SENSOR_FLAT, 0, "13344", "flat line 3 1-2 (2), flat line 4 3-4 (2)"},
    {"a good one between", SENSOR_RATE, 0, "313",
     "rate of change 3 0-0 (1), rate of change 3 2-2 (1)"},
    {"over midnight", SENSOR_FLAT, 22, "33331", "flat line 3 22-23 (2), +flat line 3 24-25 (2)"},
    {"over midnight and worse", SENSOR_FLAT, 22, "3344",
     "flat line 3 22-23 (2), flat line 4 24-25 (2)"},
    {"twice after midnight", SENSOR_FLAT, 23, "3313",
     "flat line 3 23-23 (1), +flat line 3 24-24 (1), flat line 3 26-26 (1)"},
    {"a gap is of the time before", SENSOR_GAP, 22, "1141", "gap 4 23-24 (1)"},
    {"two gaps are two", SENSOR_GAP, 0, "144", "gap 4 0-1 (1), gap 4 1-2 (1)"},
};

static void flags_become_spans(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct flag_spans spans =
            spans_of(mem, rows[i].test, rows[i].hour, rows[i].flags, INSTANT_NONE);

        if (strcmp(spans_text(mem, &spans), rows[i].spans) != 0)
            fail_msg("%s: %s", rows[i].why, spans_text(mem, &spans));
    }
}

static void days_before_the_first_only_say_how_it_begins(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct flag_spans spans = spans_of(mem, SENSOR_FLAT, 20, "3333331", DAY_US);
    struct flag_spans gap = spans_of(mem, SENSOR_GAP, 23, "14", DAY_US);

    (void)state;
    assert_string_equal(spans_text(mem, &spans), "+flat line 3 24-25 (2)");
    assert_string_equal(spans_text(mem, &gap), "gap 4 23-24 (1)");
}

static void a_span_that_goes_on_over_midnight_is_known(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct flag_spans spans = spans_of(mem, SENSOR_FLAT, 22, "33331133", INSTANT_NONE);

    (void)state;
    assert_int_equal(spans.count, 3);
    assert_true(flag_span_goes_on(&spans.items[0], &spans.items[1]));
    assert_false(flag_span_goes_on(&spans.items[1], &spans.items[2]));
}

static void two_lists_differ_from_here_to_there(void **state)
{
    static const struct {
        const char *a;
        const char *b;
        int first; /* -1: nowhere */
        int last;
    } lists[] = {
        {"1331", "1331", -1, -1}, {"1111", "1331", 1, 2},       {"1331", "1111", 1, 2},
        {"1331", "1441", 1, 2},   {"3313311", "3313331", 3, 5}, {"31313", "11313", 0, 0},
        {"31313", "31311", 4, 4},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(lists); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct flag_spans a = spans_of(mem, SENSOR_FLAT, 0, lists[i].a, INSTANT_NONE);
        struct flag_spans b = spans_of(mem, SENSOR_FLAT, 0, lists[i].b, INSTANT_NONE);
        instant first = 0;
        instant last = 0;

        assert_int_equal(flag_spans_differ(&a, &b, &first, &last), lists[i].first >= 0);
        if (lists[i].first < 0)
            continue;
        assert_int_equal(first / HOUR_US, lists[i].first);
        assert_int_equal(last / HOUR_US, lists[i].last);
    }
}

static void days_are_those_of_utc_before_1970_too(void **state)
{
    (void)state;
    assert_int_equal(flag_day_start(DAY_US + 1), DAY_US);
    assert_int_equal(flag_day_start(DAY_US), DAY_US);
    assert_int_equal(flag_day_start(-1), -DAY_US);
    assert_int_equal(flag_day_end(-1), 0);
    assert_int_equal(flag_day_end(0), DAY_US);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flags_become_spans),
        cmocka_unit_test(days_before_the_first_only_say_how_it_begins),
        cmocka_unit_test(a_span_that_goes_on_over_midnight_is_known),
        cmocka_unit_test(two_lists_differ_from_here_to_there),
        cmocka_unit_test(days_are_those_of_utc_before_1970_too),
    };

    return cmocka_run_group_tests_name("trust/flag_spans", tests, NULL, NULL);
}

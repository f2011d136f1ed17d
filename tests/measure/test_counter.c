#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "measure/counter.h"

enum { READINGS_MOST = 8, SPANS_MOST = 8 };

/* Readings of a row: hour, count, role; an hour of -1 ends them. */
struct row_reading {
    int hour;
    const char *count;
    enum counter_role role;
};

struct row {
    const char *why;
    const char *size; /* NULL: not on record */
    const char *most_per_day;
    const char *multiplier;
    struct row_reading readings[READINGS_MOST];
    const char *spans;    /* "from-until volume mark; ..." */
    const char *suspects; /* numbers of readings */
};

/* The rules on counters of this program: worked by hand, common practice, no source. */
static const struct row rows[] = {
    {"a difference times the multiplier",
     NULL,
     NULL,
     "10",
     {{0, "100", 0}, {24, "172.5", 0}, {48, "172.5", 0}, {-1, NULL, 0}},
     "0-24 725 measured; 24-48 0 measured; ",
     ""},
    {"nothing to take a difference of", NULL, NULL, "1", {{0, "100", 0}, {-1, NULL, 0}}, "", ""},
    {"a roll-over under the greatest flow",
     "100000",
     "720",
     "1",
     {{0, "99800", 0}, {24, "300", 0}, {48, "900", 0}, {-1, NULL, 0}},
     "0-24 500 rolled over; 24-48 600 measured; ",
     ""},
    {"the greatest flow is in units, not in counts",
     "100000",
     "720",
     "10",
     {{0, "99990", 0}, {24, "61", 0}, {48, "100", 0}, {-1, NULL, 0}},
     "0-24 710 rolled over; 24-48 390 measured; ",
     ""},
    {"exactly the greatest flow is not under it",
     "100000",
     "720",
     "1",
     {{0, "99800", 0}, {24, "520", 0}, {-1, NULL, 0}},
     "0-24 - reset or misread; ",
     "1 "},
    {"one count under it is",
     "100000",
     "720",
     "1",
     {{0, "99800", 0}, {24, "519", 0}, {-1, NULL, 0}},
     "0-24 719 rolled over; ",
     ""},
    {"half a day has half the greatest flow",
     "100000",
     "720",
     "1",
     {{0, "99800", 0}, {12, "300", 0}, {-1, NULL, 0}},
     "0-12 - reset or misread; ",
     "1 "},
    {"a fall with no size on record",
     NULL,
     "720",
     "1",
     {{0, "99800", 0}, {24, "300", 0}, {48, "900", 0}, {-1, NULL, 0}},
     "0-48 - reset or misread; ",
     "1 2 "},
    {"a fall with no greatest flow on record",
     "100000",
     NULL,
     "1",
     {{0, "99800", 0}, {24, "300", 0}, {-1, NULL, 0}},
     "0-24 - reset or misread; ",
     "1 "},
    {"a reading that was never on such a meter",
     "100000",
     "720000",
     "1",
     {{0, "100001", 0}, {24, "5", 0}, {-1, NULL, 0}},
     "0-24 - reset or misread; ",
     "1 "},
    {"one misread figure, and then the meter as before",
     NULL,
     NULL,
     "1",
     {{0, "100", 0}, {24, "11", 0}, {48, "120", 0}, {-1, NULL, 0}},
     "0-48 20 reset or misread; ",
     "1 "},
    {"either side of a fall may be the wrong one",
     NULL,
     NULL,
     "1",
     {{0, "100", 0}, {24, "200", 0}, {48, "363", 0}, {72, "350", 0}, {96, "420", 0}, {-1, NULL, 0}},
     "0-24 100 measured; 24-96 220 reset or misread; ",
     "3 2 "},
    {"a reading far too high, and the next two are in order",
     NULL,
     NULL,
     "1",
     {{0, "100", 0},
      {24, "200", 0},
      {48, "9300", 0},
      {72, "400", 0},
      {96, "500", 0},
      {120, "600", 0},
      {-1, NULL, 0}},
     "0-24 100 measured; 24-72 200 reset or misread; 72-96 100 measured; 96-120 100 measured; ",
     "2 "},
    {"a rise over the greatest flow is not known",
     NULL,
     "500",
     "1",
     {{0, "5200", 0}, {24, "5300", 0}, {48, "9300", 0}, {72, "9400", 0}, {-1, NULL, 0}},
     "0-24 100 measured; 24-48 - reset or misread; 48-72 100 measured; ",
     ""},
    {"a rise of exactly the greatest flow is possible",
     NULL,
     "500",
     "1",
     {{0, "5300", 0}, {24, "5800", 0}, {72, "6800", 0}, {-1, NULL, 0}},
     "0-24 500 measured; 24-72 1000 measured; ",
     ""},
    {"the greatest flow is in units, not in counts, for a rise too",
     NULL,
     "500",
     "10",
     {{0, "100", 0}, {24, "151", 0}, {-1, NULL, 0}},
     "0-24 - reset or misread; ",
     ""},
    {"whole tens shown at once within an hour",
     NULL,
     "100",
     "1",
     {{0, "100", 0}, {1, "110", 0}, {2, "110", 0}, {-1, NULL, 0}},
     "0-1 10 measured; 1-2 0 measured; ",
     ""},
    {"a leap that falls back is one misread figure",
     NULL,
     "500",
     "1",
     {{0, "100", 0},
      {24, "200", 0},
      {48, "9300", 0},
      {72, "400", 0},
      {96, "500", 0},
      {-1, NULL, 0}},
     "0-24 100 measured; 24-72 200 reset or misread; 72-96 100 measured; ",
     "2 "},
    {"what ran over a misread figure is no more than can run",
     NULL,
     "500",
     "1",
     {{0, "100", 0}, {24, "11", 0}, {48, "9000", 0}, {72, "9100", 0}, {-1, NULL, 0}},
     "0-48 - reset or misread; 48-72 100 measured; ",
     "1 "},
    {"a reading below the one before the last is itself the wrong one",
     NULL,
     NULL,
     "1",
     {{0, "100", 0}, {24, "200", 0}, {48, "50", 0}, {72, "400", 0}, {-1, NULL, 0}},
     "0-24 100 measured; 24-72 200 reset or misread; ",
     "2 "},
    {"a meter replaced, with both readings",
     NULL,
     NULL,
     "1",
     {{0, "100", 0},
      {24, "150", COUNTER_LAST},
      {25, "7", COUNTER_FIRST},
      {48, "57", 0},
      {-1, NULL, 0}},
     "0-24 50 measured; 24-25 0 meter replaced; 25-48 50 measured; ",
     ""},
    {"replaced at one instant",
     NULL,
     NULL,
     "1",
     {{0, "100", 0},
      {24, "150", COUNTER_LAST},
      {24, "0", COUNTER_FIRST},
      {48, "57", 0},
      {-1, NULL, 0}},
     "0-24 50 measured; 24-48 57 measured; ",
     ""},
    {"a new meter that begins above the old one",
     NULL,
     NULL,
     "1",
     {{0, "100", 0},
      {24, "150", COUNTER_LAST},
      {25, "900", COUNTER_FIRST},
      {48, "907", 0},
      {-1, NULL, 0}},
     "0-24 50 measured; 24-25 0 meter replaced; 25-48 7 measured; ",
     ""},
    {"a new meter, and nobody read the old one last",
     NULL,
     NULL,
     "1",
     {{0, "100", 0}, {24, "0", COUNTER_FIRST}, {48, "57", 0}, {-1, NULL, 0}},
     "0-24 - meter replaced, last reading of the old one missing; 24-48 57 measured; ",
     ""},
    {"a new meter ends a doubt about the old one",
     NULL,
     NULL,
     "1",
     {{0, "100", 0},
      {24, "5", COUNTER_LAST},
      {25, "0", COUNTER_FIRST},
      {48, "3", 0},
      {-1, NULL, 0}},
     "0-24 - reset or misread; 24-25 0 meter replaced; 25-48 3 measured; ",
     "1 "},
    {"tenths stay exact",
     NULL,
     NULL,
     "1/10",
     {{0, "0.1", 0}, {24, "0.3", 0}, {-1, NULL, 0}},
     "0-24 0.02 measured; ",
     ""},
};

static const struct exact *number(struct arena *mem, const char *digits)
{
    return digits ? exact_from_text(mem, digits) : NULL;
}

static char *spans_text(struct arena *mem, const struct counter_spans *spans)
{
    char *text = arena_strdup(mem, "");

    for (size_t i = 0; i < spans->count; i++) {
        const struct counter_span *span = &spans->items[i];

        text = arena_printf(
            mem, "%s%d-%d %s %s; ", text, (int)(span->from / HOUR_US), (int)(span->until / HOUR_US),
            span->volume ? exact_text(mem, span->volume, 12) : "-", counter_mark_words(span->mark));
    }

    return text;
}

static void check_row(const struct row *row)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct counter counter = {
        .size = number(mem, row->size),
        .multiplier = number(mem, row->multiplier),
        .most_per_day = number(mem, row->most_per_day),
    };
    struct counter_reading readings[READINGS_MOST];
    struct counter_spans spans;
    struct counter_suspects suspects;
    size_t count = 0;
    const char *suspects_text = "";

    for (; row->readings[count].hour >= 0; count++)
        readings[count] = (struct counter_reading){
            .at = row->readings[count].hour * HOUR_US,
            .count = number(mem, row->readings[count].count),
            .role = row->readings[count].role,
        };
    counter_spans_of(mem, &counter, readings, count, &spans, &suspects);
    for (size_t i = 0; i < suspects.count; i++)
        suspects_text = arena_printf(mem, "%s%zu ", suspects_text, suspects.items[i]);
    if (strcmp(spans_text(mem, &spans), row->spans) != 0 ||
        strcmp(suspects_text, row->suspects) != 0)
        fail_msg("%s: %s| %s", row->why, spans_text(mem, &spans), suspects_text);
}

static void volumes_follow_the_rules(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        check_row(&rows[i]);
}

/* Four days; the third has 25 hours, as when summer time ends. */
static const instant bounds[] = {0, 24 * HOUR_US, 48 * HOUR_US, 73 * HOUR_US, 97 * HOUR_US};

enum { DAYS = 4 };

struct day_row {
    const char *why;
    int from, until; /* hours */
    const char *volume;
    enum counter_belongs belongs;
    bool may_share;
    const char *days; /* volumes; "." for none */
};

static const struct day_row day_rows[] = {
    {"inside one day", 9, 15, "6", COUNTER_BEGAN, false, "6 . . . "},
    {"inside one day, by its end", 9, 15, "6", COUNTER_ENDED, false, "6 . . . "},
    {"a whole day", 24, 48, "6", COUNTER_BEGAN, false, ". 6 . . "},
    {"a whole day, by its end", 24, 48, "6", COUNTER_ENDED, false, ". 6 . . "},
    {"a whole day, mostly", 24, 48, "6", COUNTER_MOSTLY, false, ". 6 . . "},
    {"nine to nine, where it began", 9, 33, "6", COUNTER_BEGAN, false, "6 . . . "},
    {"nine to nine, where it ended", 9, 33, "6", COUNTER_ENDED, false, ". 6 . . "},
    {"nine to nine lies mostly in the first", 9, 33, "6", COUNTER_MOSTLY, false, "6 . . . "},
    {"three to three in the afternoon does not", 15, 39, "6", COUNTER_MOSTLY, false, ". 6 . . "},
    {"ten minutes past midnight and more", 23, 25, "6", COUNTER_BEGAN, false, "6 . . . "},
    {"two whole days, shared", 24, 73, "6", COUNTER_BEGAN, true, ". 3 3 . "},
    {"two whole days, shared, by their end", 24, 73, "6", COUNTER_ENDED, true, ". 3 3 . "},
    {"two whole days, not shared", 24, 73, "6", COUNTER_BEGAN, false, ". - - . "},
    {"a weekend from nine to nine, shared", 9, 82, "6", COUNTER_BEGAN, true, "2 2 2 . "},
    {"a weekend from nine to nine, by its end", 9, 82, "6", COUNTER_ENDED, true, ". 2 2 2 "},
    {"a weekend, not shared", 9, 82, "6", COUNTER_BEGAN, false, "- - - . "},
    {"a counter that stood still stood still on each day", 9, 82, "0", COUNTER_BEGAN, false,
     "0 0 0 . "},
    {"what is not known is known of no day", 9, 82, NULL, COUNTER_BEGAN, true, "- - - . "},
};

static char *days_text(struct arena *mem, const struct counter_day *days)
{
    char *text = arena_strdup(mem, "");

    for (size_t i = 0; i < DAYS; i++)
        text = arena_printf(mem, "%s%s ", text,
                            days[i].volume  ? exact_text(mem, days[i].volume, 12)
                            : days[i].marks ? "-"
                                            : ".");

    return text;
}

static void spans_fall_on_days_as_the_clause_says(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(day_rows); i++) {
        const struct day_row *row = &day_rows[i];
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct counter_span span = {row->from * HOUR_US, row->until * HOUR_US,
                                    number(mem, row->volume), COUNTER_MEASURED};
        const struct counter_spans spans = {.items = &span, .count = 1};
        const struct counter_day *days =
            counter_days_of(mem, &spans, bounds, DAYS, row->belongs, row->may_share);

        if (strcmp(days_text(mem, days), row->days) != 0)
            fail_msg("%s: %s", row->why, days_text(mem, days));
    }
}

static void a_share_is_marked(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct counter_span items[] = {
        {0, 24 * HOUR_US, number(mem, "10"), COUNTER_MEASURED},
        {24 * HOUR_US, 73 * HOUR_US, number(mem, "7"), COUNTER_ROLLED_OVER},
        {73 * HOUR_US, 85 * HOUR_US, number(mem, "1"), COUNTER_MEASURED},
        {85 * HOUR_US, 97 * HOUR_US, number(mem, "0"), COUNTER_REPLACED},
    };
    const struct counter_spans spans = {.items = items, .count = ARRAY_LEN(items)};
    const struct counter_day *days =
        counter_days_of(mem, &spans, bounds, DAYS, COUNTER_BEGAN, true);

    (void)state;
    assert_string_equal(days_text(mem, days), "10 3.5 3.5 1 ");
    assert_false(days[0].shared);
    assert_true(days[1].shared && days[2].shared);
    assert_int_equal(days[0].marks, 1u << COUNTER_MEASURED);
    assert_int_equal(days[1].marks, 1u << COUNTER_ROLLED_OVER);
    assert_int_equal(days[3].marks, 1u << COUNTER_MEASURED | 1u << COUNTER_REPLACED);
    assert_true(days[0].covered_us == DAY_US);
    assert_true(days[1].covered_us + days[2].covered_us == 49 * HOUR_US);
    assert_true(days[3].covered_us == DAY_US);

    days = counter_days_of(mem, &spans, bounds, DAYS, COUNTER_BEGAN, false);
    assert_true(days[1].not_shared && days[2].not_shared && !days[1].shared);
    assert_false(days[0].not_shared || days[3].not_shared);
}

static void one_unknown_part_makes_the_day_unknown(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct counter_span items[] = {
        {0, 8 * HOUR_US, number(mem, "1"), COUNTER_MEASURED},
        {8 * HOUR_US, 16 * HOUR_US, NULL, COUNTER_RESET_OR_MISREAD},
        {16 * HOUR_US, 24 * HOUR_US, number(mem, "2"), COUNTER_MEASURED},
    };
    const struct counter_spans spans = {.items = items, .count = ARRAY_LEN(items)};
    const struct counter_day *days =
        counter_days_of(mem, &spans, bounds, DAYS, COUNTER_BEGAN, true);

    (void)state;
    assert_string_equal(days_text(mem, days), "- . . . ");
    assert_int_equal(days[0].marks, 1u << COUNTER_MEASURED | 1u << COUNTER_RESET_OR_MISREAD);
}

struct run_row {
    const char *why;
    struct {
        int from, until; /* hours */
        const char *volume;
    } spans[2];
    enum counter_belongs belongs;
    const char *runs; /* "first-after volume" */
};

static const struct run_row run_rows[] = {
    {"a day each has no run", {{9, 33, "6"}, {33, 57, "7"}}, COUNTER_BEGAN, ""},
    {"not read for two days", {{9, 57, "6"}, {57, 80, "7"}}, COUNTER_BEGAN, "0-2 6; "},
    {"with what else began on its first day",
     {{3, 9, "1"}, {9, 57, "6"}},
     COUNTER_BEGAN,
     "0-2 7; "},
    {"with what ended on its last day", {{9, 57, "6"}, {57, 60, "1"}}, COUNTER_ENDED, "1-3 7; "},
    {"not known where a part is not", {{3, 9, NULL}, {9, 57, "6"}}, COUNTER_BEGAN, "0-2 -; "},
    {"a meter that did not move", {{9, 33, "0"}, {33, 81, "0"}}, COUNTER_BEGAN, ""},
    {"a fall has no volume", {{9, 33, "1"}, {33, 81, NULL}}, COUNTER_BEGAN, ""},
};

static void days_not_read_are_known_together(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < sizeof(run_rows) / sizeof(run_rows[0]); i++) {
        const struct run_row *row = &run_rows[i];
        struct counter_span items[2];
        struct counter_spans spans = {.items = items};
        char *text = arena_strdup(mem, "");

        for (; spans.count < 2; spans.count++)
            items[spans.count] =
                (struct counter_span){.from = row->spans[spans.count].from * HOUR_US,
                                      .until = row->spans[spans.count].until * HOUR_US,
                                      .volume = number(mem, row->spans[spans.count].volume)};

        struct counter_runs runs = counter_runs_of(mem, &spans, bounds, DAYS, row->belongs);

        for (size_t k = 0; k < runs.count; k++)
            text = arena_printf(
                mem, "%s%zu-%zu %s; ", text, runs.items[k].first, runs.items[k].after,
                runs.items[k].volume ? exact_text(mem, runs.items[k].volume, 12) : "-");
        if (strcmp(text, row->runs) != 0)
            fail_msg("%s: %s", row->why, text);
    }
}

/* Two weeks of water are not 0 because nobody read the old meter before it went. */
static void a_meter_last_read_days_before_it_was_replaced_hides_no_water(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct counter counter = {.multiplier = exact_from_int(mem, 1)};
    struct counter_reading readings[] = {
        {0, exact_from_int(mem, 500), COUNTER_PLAIN},
        {25 * HOUR_US, exact_from_int(mem, 3), COUNTER_PLAIN},
        {49 * HOUR_US, exact_from_int(mem, 33), COUNTER_PLAIN},
    };
    struct counter_spans spans;
    struct counter_suspects suspects;

    (void)state;
    counter_mark_replaced(readings, 3, 25 * HOUR_US);
    counter_spans_of(mem, &counter, readings, 3, &spans, &suspects);
    assert_string_equal(spans_text(mem, &spans),
                        "0-25 - meter replaced, last reading of the old one missing; "
                        "25-49 30 measured; ");
}

static void a_size_of_all_nines_is_one_short_of_a_turn(void **state)
{
    static const struct {
        struct decimal size;
        const char *turn;
    } sizes[] = {{{99999, 0}, "100000"}, {{100000, 0}, "100000"}, {{99999, 1}, "10000"}};
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++)
        assert_int_equal(exact_compare(counter_full_turn(mem, sizes[i].size),
                                       exact_from_text(mem, sizes[i].turn)),
                         0);
}

/* The farm file's time need not be that of a reading: the next one is the new meter's. */
static void a_meter_replaced_between_two_readings_is_told_apart(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct counter counter = {.multiplier = exact_from_int(mem, 1)};
    struct counter_reading readings[] = {
        {0, exact_from_int(mem, 500), COUNTER_PLAIN},
        {10 * HOUR_US, exact_from_int(mem, 520), COUNTER_PLAIN},
        {12 * HOUR_US, exact_from_int(mem, 3), COUNTER_PLAIN},
        {24 * HOUR_US, exact_from_int(mem, 33), COUNTER_PLAIN},
    };
    struct counter_spans spans;
    struct counter_suspects suspects;

    (void)state;
    counter_mark_replaced(readings, 4, 11 * HOUR_US);
    counter_spans_of(mem, &counter, readings, 4, &spans, &suspects);
    assert_string_equal(spans_text(mem, &spans),
                        "0-10 20 measured; 10-12 0 meter replaced; 12-24 30 measured; ");
    assert_int_equal(suspects.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_meter_last_read_days_before_it_was_replaced_hides_no_water),
        cmocka_unit_test(a_size_of_all_nines_is_one_short_of_a_turn),
        cmocka_unit_test(a_meter_replaced_between_two_readings_is_told_apart),
        cmocka_unit_test(volumes_follow_the_rules),
        cmocka_unit_test(spans_fall_on_days_as_the_clause_says),
        cmocka_unit_test(a_share_is_marked),
        cmocka_unit_test(one_unknown_part_makes_the_day_unknown),
        cmocka_unit_test(days_not_read_are_known_together),
    };

    return cmocka_run_group_tests_name("measure/counter", tests, NULL, NULL);
}

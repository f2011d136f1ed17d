/* How times are written, and in which order day and month stand: by evidence, or asked. */
#include <string.h>

#include "harness/cmocka.h"
#include "ingest/sniff_time.h"

/* Stamps of consecutive rows, bars between. */
static struct sniff_stamps stamps_of(struct arena *mem, const char *list)
{
    struct sniff_stamps stamps = {0};

    for (const char *at = list; *at;) {
        size_t length = strcspn(at, "|");

        LIST_ADD(mem, &stamps,
                 ((struct sniff_stamp){arena_strndup(mem, at, length), (int32_t)stamps.count + 2,
                                       stamps.count > 0}));
        at += length + (at[length] == '|');
    }

    return stamps;
}

static void a_format_is_found_for_each_usual_way_to_write(void **state)
{
    static const struct {
        const char *stamps;
        const char *format;
        const char *evidence; /* a part of it; NULL: there is no other order */
    } rows[] = {
        {"2026-05-01 09:30|2026-05-01 09:45", "YYYY-MM-DD hh:mm", NULL},
        {"2026-05-01T09:30:00Z|2026-05-01T09:45:00Z", "YYYY-MM-DDThh:mm:ss+hh:mm", NULL},
        {"2026-05-01T09:30:00.250+12:00", "YYYY-MM-DDThh:mm:ss+hh:mm", NULL},
        {"20260501 0930", "YYYYMMDD hhmm", NULL},
        {"5/13/2026 9:30:00 AM|5/13/2026 9:45:00 PM", "MM/DD/YYYY hh:mm:ss AM/PM",
         "can't be day first"},
        {"28.10.2026 00:15", "DD.MM.YYYY hh:mm", "can't be month first"},
        {"1 May 2026 9:30", "DD MMM YYYY hh:mm", NULL},
        {"01-May-26", "DD-MMM-YY", NULL},
        {"10/27/2026 24:00|10/28/2026 00:15", "MM/DD/YYYY hh:mm", "can't be day first"},
        {"1777600000|1777600900", "seconds of 1970", NULL},
        {"1777600000000", "milliseconds of 1970", NULL},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sniff_stamps stamps = stamps_of(mem, rows[i].stamps);
        struct sniff_formats formats = sniff_time_formats(mem, &stamps);

        if (formats.count == 0 || strcmp(formats.items[0].text, rows[i].format) != 0)
            fail_msg("%s: %s", rows[i].stamps,
                     formats.count > 0 ? formats.items[0].text : "nothing");
        assert_true(formats.is_decided);
        if (rows[i].evidence && (!formats.evidence || !strstr(formats.evidence, rows[i].evidence)))
            fail_msg("%s: %s", rows[i].stamps, formats.evidence ? formats.evidence : "no evidence");
    }
}

static void what_nothing_decides_is_left_open(void **state)
{
    static const struct {
        const char *stamps;
        size_t orders;
        const char *why;
    } rows[] = {
        {"03/04/2026", 2, "one date"},
        {"03/04/2026 09:00|03/04/2026 09:15|03/04/2026 09:30", 2, "one day, however even"},
        {"03/04/2026|10/04/2026|11/05/2026", 2, "samples of some days, in either order possible"},
        {"01/02/2026|02/02/2026|03/02/2026|04/02/2026", 2,
         "days that follow, or the second of each month"},
        {"03/04/05", 3, "a year of two digits may come first too"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sniff_stamps stamps = stamps_of(mem, rows[i].stamps);
        struct sniff_formats formats = sniff_time_formats(mem, &stamps);

        if (formats.is_decided || formats.count != rows[i].orders)
            fail_msg("%s: %zu orders, decided: %d", rows[i].why, formats.count, formats.is_decided);
        assert_null(formats.evidence);
    }
}

/* Each hour from 3 March to 6 March, written month first: read day first it leaps by months. */
static void rows_that_go_on_evenly_into_the_next_day_decide(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct sniff_stamps stamps = {0};
    struct sniff_formats formats;

    (void)state;
    for (int hour = 0; hour < 96; hour++)
        LIST_ADD(mem, &stamps,
                 ((struct sniff_stamp){
                     arena_printf(mem, "03/%02d/2026 %02d:00", 3 + hour / 24, hour % 24), hour + 2,
                     hour > 0}));
    formats = sniff_time_formats(mem, &stamps);
    assert_true(formats.is_decided);
    assert_string_equal(formats.items[0].text, "MM/DD/YYYY hh:mm");
    assert_non_null(strstr(formats.evidence, "rows go on every hour into the next day 3 of 3"));
    assert_int_equal(formats.items[0].pace.step_s, 3600);

    /* The newest first is as good. */
    for (size_t i = 0; i < stamps.count / 2; i++) {
        const char *text = stamps.items[i].text;

        stamps.items[i].text = stamps.items[stamps.count - 1 - i].text;
        stamps.items[stamps.count - 1 - i].text = text;
    }
    formats = sniff_time_formats(mem, &stamps);
    assert_true(formats.is_decided);
    assert_string_equal(formats.items[0].text, "MM/DD/YYYY hh:mm");
    assert_true(formats.items[0].pace.newest_first);

    /* With rows left out between them nothing is known of their steps. */
    for (size_t i = 0; i < stamps.count; i++)
        stamps.items[i].follows = false;
    formats = sniff_time_formats(mem, &stamps);
    assert_false(formats.is_decided);
}

static void what_is_no_time_has_no_format(void **state)
{
    static const char *const rows[] = {"12.5|13.5",  "pond|outlet", "42305.5",
                                       "2026-13-45", "17",          "Mai 3 2026"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sniff_stamps stamps = stamps_of(mem, rows[i]);

        if (sniff_time_formats(mem, &stamps).count > 0)
            fail_msg("%s: %s", rows[i], sniff_time_formats(mem, &stamps).items[0].text);
    }
}

static void hours_alone_are_known(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct sniff_stamps hours = stamps_of(mem, "9:30|24:00|00:15");
    struct sniff_stamps words = stamps_of(mem, "noon|night");

    (void)state;
    assert_string_equal(sniff_hour_format(mem, &hours), "hh:mm");
    assert_null(sniff_hour_format(mem, &words));
}

static void steps_are_told_in_the_unit_that_fits(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_string_equal(sniff_step_text(mem, 900), "15 minutes");
    assert_string_equal(sniff_step_text(mem, 3600), "hour");
    assert_string_equal(sniff_step_text(mem, 86400), "day");
    assert_string_equal(sniff_step_text(mem, 7 * 86400), "7 days");
    assert_string_equal(sniff_step_text(mem, 10), "10 seconds");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_format_is_found_for_each_usual_way_to_write),
        cmocka_unit_test(what_nothing_decides_is_left_open),
        cmocka_unit_test(rows_that_go_on_evenly_into_the_next_day_decide),
        cmocka_unit_test(what_is_no_time_has_no_format),
        cmocka_unit_test(hours_alone_are_known),
        cmocka_unit_test(steps_are_told_in_the_unit_that_fits),
    };

    return cmocka_run_group_tests_name("ingest/sniff_time", tests, NULL, NULL);
}

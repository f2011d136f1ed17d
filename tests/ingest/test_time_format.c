#include <string.h>

#include "harness/cmocka.h"
#include "ingest/time_format.h"

static const struct {
    const char *format;
    const char *text;
    const char *shown; /* of the reading as a UTC clock would show it, NULL: not read */
    enum time_answer answer;
    const char *why;
} read_rows[] = {
    {"YYYY-MM-DD hh:mm", "2026-05-01 09:30", "2026-05-01T09:30:00Z", TIME_READ, "ISO 8601"},
    {"YYYY-MM-DDThh:mm:ss", "2026-05-01T09:30:05", "2026-05-01T09:30:05Z", TIME_READ, "with a T"},
    {"DD/MM/YYYY h:mm", "01/05/2026 9:30", "2026-05-01T09:30:00Z", TIME_READ, "day first"},
    {"MM/DD/YYYY h:mm", "01/05/2026 9:30", "2026-01-05T09:30:00Z", TIME_READ, "month first"},
    {"D.M.YYYY hh:mm", "1.5.2026 09:30", "2026-05-01T09:30:00Z", TIME_READ, "one digit"},
    {"DD/MM/YYYY hh:mm", "1/5/2026 9:30", "2026-05-01T09:30:00Z", TIME_READ,
     "one digit where two are written and no digit follows"},
    {"YYYYMMDDhhmm", "202605010930", "2026-05-01T09:30:00Z", TIME_READ, "without separators"},
    {"YYYYMMDD", "2026051", NULL, TIME_UNREADABLE, "there, a digit is missing"},
    {"DD-MMM-YYYY hh:mm", "01-may-2026 09:30", "2026-05-01T09:30:00Z", TIME_READ, "month names"},
    {"DD MMM YY", "1 Dec 79", "2079-12-01T00:00:00Z", TIME_READ, "two digits up to 79 are 20xx"},
    {"DD MMM YY", "1 Dec 80", "1980-12-01T00:00:00Z", TIME_READ, "from 80 on 19xx"},
    {"YYYY-MM-DD", "2026-05-01", "2026-05-01T00:00:00Z", TIME_READ, "a day begins at midnight"},
    {"YYYY-MM-DD hh:mm", "  2026-05-01   09:30 ", "2026-05-01T09:30:00Z", TIME_READ,
     "blanks around and more of them inside"},
    {"YYYY-MM-DD hh:mm", "2026-05-01 24:00", "2026-05-02T00:00:00Z", TIME_READ,
     "24:00 ends its day (ISO 8601:2004, 4.2.3)"},
    {"YYYY-MM-DD hh:mm", "2026-12-31 24:00", "2027-01-01T00:00:00Z", TIME_READ, "and its year"},
    {"YYYY-MM-DD hh:mm", "2026-05-01 24:10", NULL, TIME_IMPOSSIBLE, "nothing comes after it"},
    {"YYYY-MM-DD hh:mm", "2026-05-01 25:00", NULL, TIME_IMPOSSIBLE, "no hour 25"},
    {"YYYY-MM-DD hh:mm", "2026-05-01 09:60", NULL, TIME_IMPOSSIBLE, "no minute 60"},
    {"YYYY-MM-DD hh:mm", "2026-02-29 09:00", NULL, TIME_IMPOSSIBLE, "2026 has no leap day"},
    {"YYYY-MM-DD hh:mm", "2024-02-29 09:00", "2024-02-29T09:00:00Z", TIME_READ, "2024 has"},
    {"YYYY-MM-DD hh:mm", "2026-02-31 24:00", NULL, TIME_IMPOSSIBLE, "no such day to end"},
    {"MM/DD/YYYY", "13/05/2026", NULL, TIME_IMPOSSIBLE, "day and month the other way round"},
    {"M/D/YYYY h:mm:ss AM/PM", "10/28/2026 12:15:00 AM", "2026-10-28T00:15:00Z", TIME_READ,
     "12 AM is the first hour of the day (NIST, Times of Day FAQ)"},
    {"M/D/YYYY h:mm:ss AM/PM", "10/28/2026 12:15:00 p.m.", "2026-10-28T12:15:00Z", TIME_READ,
     "12 PM the thirteenth"},
    {"M/D/YYYY h:mm AM/PM", "10/28/2026 1:15 PM", "2026-10-28T13:15:00Z", TIME_READ, "1 PM"},
    {"M/D/YYYY h:mm AM/PM", "10/28/2026 13:15 PM", NULL, TIME_IMPOSSIBLE, "no 13 PM"},
    {"M/D/YYYY h:mm AM/PM", "10/28/2026 0:15 AM", NULL, TIME_IMPOSSIBLE, "no 0 AM"},
    {"YYYY-MM-DD hh:mm:ss", "2026-05-01 09:30:00.25", "2026-05-01T09:30:00.250000Z", TIME_READ,
     "a fraction"},
    {"YYYY-MM-DD hh:mm:ss", "2026-05-01 09:30:00,1234567", "2026-05-01T09:30:00.123456Z", TIME_READ,
     "cut to microseconds"},
    {"YYYY-MM-DDThh:mm:ss+hh:mm", "2026-05-01T09:30:00+12:00", "2026-04-30T21:30:00Z", TIME_READ,
     "RFC 3339 offset"},
    {"YYYY-MM-DDThh:mm:ss+hh:mm", "2026-05-01T09:30:00Z", "2026-05-01T09:30:00Z", TIME_READ, "Z"},
    {"YYYY-MM-DD hh:mm +hh:mm", "2026-05-01 09:30 -0330", "2026-05-01T13:00:00Z", TIME_READ,
     "without its colon"},
    {"YYYY-MM-DD hh:mm +hh:mm", "2026-05-01 09:30", NULL, TIME_UNREADABLE, "offset missing"},
    {"YYYY-MM-DD hh:mm+hh:mm", "2026-05-01 09:30+25:00", NULL, TIME_IMPOSSIBLE, "no such offset"},
    {"YYYY-MM-DD hh:mm", "2026-05-01", NULL, TIME_UNREADABLE, "no hour"},
    {"YYYY-MM-DD", "2026-05-01 09:30", NULL, TIME_UNREADABLE, "an hour nobody told of"},
    {"YYYY-MM-DD hh:mm", "01/05/2026 09:30", NULL, TIME_UNREADABLE, "another format"},
    {"YYYY-MM-DD hh:mm", "", NULL, TIME_UNREADABLE, "nothing"},
    {"YYYY-MM-DD hh:mm", "2026-05-01 09:5", NULL, TIME_UNREADABLE, "half a minute"},
};

static void times_are_read_as_the_format_says(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(read_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct time_format format;
        struct time_reading reading;
        struct err err = ERR_INIT;
        const char *shown = "";

        assert_done(time_format_compile(read_rows[i].format, &format, &err), &err);

        enum time_answer answer = time_format_read(&format, read_rows[i].text, &reading);

        if (answer == TIME_READ)
            shown =
                instant_text(mem, instant_from_utc(&reading.civil) - reading.offset_s * SECOND_US);
        if (answer != read_rows[i].answer ||
            strcmp(shown, read_rows[i].shown ? read_rows[i].shown : "") != 0)
            fail_msg("%s: answer %d, %s", read_rows[i].why, (int)answer, shown);
    }
}

static const struct {
    const char *format;
    const char *text;
} refused_rows[] = {
    {"hh:mm", "it has no year (YYYY)"},
    {"YYYY-DD", "it has no month (MM)"},
    {"YYYY-MM", "it has no day (DD)"},
    {"YYYY-MM-DD hh:MM", "it has two months (MM is the month, mm the minute)"},
    {"YYYY-MM-DD HH:mm", "it has letters that are no part of a time"},
    {"yyyy-mm-dd", "it has letters that are no part of a time"},
    {"YYYY-MM-DD AM/PM", "it has AM/PM and no hour"},
    {"YYYY-MM-DD hh hh", "it has two hours"},
    {"YYYY-MM-DD ----------------------------------------", "it is too long"},
};

static void formats_that_say_too_little_or_twice_are_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused_rows); i++) {
        struct time_format format;
        struct err err = ERR_INIT;

        assert_fails(time_format_compile(refused_rows[i].format, &format, &err), ERR_INVALID, &err);
        if (!strstr(err.text, refused_rows[i].text))
            fail_msg("%s: %s", refused_rows[i].format, err.text);
        assert_non_null(strstr(err.hint, "YYYY-MM-DD hh:mm"));
    }
}

/* Clock changes of the tz database (2026), which the zone's own test compares with others. */
static const struct {
    const char *zone;
    const char *text;
    enum zone_answer answer;
    const char *at[2];
    const char *why;
} place_rows[] = {
    {"Pacific/Auckland", "2026-04-05 01:59:59", ZONE_ONE, {"2026-04-04T12:59:59Z"}, "before"},
    {"Pacific/Auckland",
     "2026-04-05 02:00",
     ZONE_TWO,
     {"2026-04-04T13:00:00Z", "2026-04-04T14:00:00Z"},
     "the hour that comes twice"},
    {"Pacific/Auckland",
     "2026-04-05 02:59",
     ZONE_TWO,
     {"2026-04-04T13:59:00Z", "2026-04-04T14:59:00Z"},
     "to its last minute"},
    {"Pacific/Auckland", "2026-04-05 03:00", ZONE_ONE, {"2026-04-04T15:00:00Z"}, "after"},
    {"Pacific/Auckland", "2026-09-27 02:30", ZONE_NONE, {NULL}, "the hour that is jumped over"},
    {"Pacific/Auckland", "2026-09-27 03:00", ZONE_ONE, {"2026-09-26T14:00:00Z"}, "after it"},
    {"Australia/Lord_Howe",
     "2026-04-05 01:20",
     ZONE_ONE,
     {"2026-04-04T14:20:00Z"},
     "half an hour comes twice there: not this one"},
    {"Australia/Lord_Howe",
     "2026-04-05 01:45",
     ZONE_TWO,
     {"2026-04-04T14:45:00Z", "2026-04-04T15:15:00Z"},
     "but this one, of the same hour"},
    {"Australia/Lord_Howe", "2026-10-04 02:10", ZONE_NONE, {NULL}, "half an hour jumped over"},
    {"Australia/Lord_Howe", "2026-10-04 02:40", ZONE_ONE, {"2026-10-03T15:40:00Z"}, "the rest"},
};

/* In both orders, so that what the clock remembers of one hour is never taken for another. */
static void a_clock_places_times_whatever_it_placed_before(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct time_format formats[2];
    struct err err = ERR_INIT;

    (void)state;
    assert_done(time_format_compile("YYYY-MM-DD hh:mm", &formats[0], &err), &err);
    assert_done(time_format_compile("YYYY-MM-DD hh:mm:ss", &formats[1], &err), &err);
    for (size_t i = 0; i < 2 * ARRAY_LEN(place_rows); i++) {
        size_t row = i < ARRAY_LEN(place_rows) ? i : 2 * ARRAY_LEN(place_rows) - 1 - i;
        static struct time_clock clocks[2];
        size_t zone = strcmp(place_rows[row].zone, "Pacific/Auckland") == 0 ? 0 : 1;
        struct time_reading reading;
        instant two[2];

        if (i == 0) {
            assert_done(zone_load(mem, "Pacific/Auckland", &clocks[0].zone, &err), &err);
            assert_done(zone_load(mem, "Australia/Lord_Howe", &clocks[1].zone, &err), &err);
        }
        if (time_format_read(&formats[0], place_rows[row].text, &reading) != TIME_READ)
            assert_int_equal(time_format_read(&formats[1], place_rows[row].text, &reading),
                             TIME_READ);

        enum zone_answer answer = time_clock_place(&clocks[zone], &reading, two);

        if (answer != place_rows[row].answer)
            fail_msg("%s: answer %d", place_rows[row].why, (int)answer);
        for (size_t j = 0; j < 2 && place_rows[row].at[j]; j++)
            assert_string_equal(instant_text(mem, two[j]), place_rows[row].at[j]);
    }
}

static void the_offset_in_the_text_decides_over_the_clock(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct time_clock clock = {.zone = zone_fixed(mem, 3600)};
    struct time_format format;
    struct time_reading reading;
    struct err err = ERR_INIT;
    instant two[2];

    (void)state;
    assert_done(time_format_compile("YYYY-MM-DD hh:mm+hh:mm", &format, &err), &err);
    assert_int_equal(time_format_read(&format, "2026-05-01 09:30-02:00", &reading), TIME_READ);
    assert_int_equal(time_clock_place(&clock, &reading, two), ZONE_ONE);
    assert_string_equal(instant_text(mem, two[0]), "2026-05-01T11:30:00Z");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_are_read_as_the_format_says),
        cmocka_unit_test(formats_that_say_too_little_or_twice_are_refused),
        cmocka_unit_test(a_clock_places_times_whatever_it_placed_before),
        cmocka_unit_test(the_offset_in_the_text_decides_over_the_clock),
    };

    return cmocka_run_group_tests_name("ingest/time_format", tests, NULL, NULL);
}

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/zone.h"

static struct arena *mem;

static int arena_setup(void **state)
{
    (void)state;
    mem = arena_new();

    return 0;
}

static int arena_teardown(void **state)
{
    (void)state;
    arena_free(&mem);

    return 0;
}

static const struct zone *load(const char *name)
{
    const struct zone *zone = NULL;
    struct err err = ERR_INIT;

    if (!zone_load(mem, name, &zone, &err))
        fail_msg("%s: %s", name, err.text);

    return zone;
}

/* "2026-05-01T09:00:00", without a zone. */
static struct civil civil_of(const char *text)
{
    struct err err = ERR_INIT;
    instant at = 0;

    if (!instant_parse(arena_printf(mem, "%sZ", text), &at, &err))
        fail_msg("%s", err.text);

    return instant_to_utc(at);
}

static day_number day_of(const char *text)
{
    struct err err = ERR_INIT;
    day_number day = 0;

    if (!day_parse(text, &day, &err))
        fail_msg("%s", err.text);

    return day;
}

/* Changes as the tz database's own source has them (files australasia, europe, northamerica). */
static void a_civil_time_comes_never_once_or_twice(void **state)
{
    (void)state;

    static const struct {
        const char *zone;
        const char *civil;
        enum zone_answer answer;
        const char *first;
        const char *second;
        const char *reason;
    } rows[] = {
        {"Pacific/Auckland", "2026-05-01T21:00:00", ZONE_ONE, "2026-05-01T09:00:00Z", NULL,
         "winter"},
        {"Pacific/Auckland", "2026-04-05T02:30:00", ZONE_TWO, "2026-04-04T13:30:00Z",
         "2026-04-04T14:30:00Z", "the hour that comes twice in April"},
        {"Pacific/Auckland", "2026-04-05T02:00:00", ZONE_TWO, "2026-04-04T13:00:00Z",
         "2026-04-04T14:00:00Z", "its first second"},
        {"Pacific/Auckland", "2026-04-05T03:00:00", ZONE_ONE, "2026-04-04T15:00:00Z", NULL,
         "the second after it"},
        {"Pacific/Auckland", "2026-09-27T02:00:00", ZONE_NONE, NULL, NULL,
         "the first second that is jumped over"},
        {"Pacific/Auckland", "2026-09-27T02:59:59", ZONE_NONE, NULL, NULL, "the last one"},
        {"Pacific/Auckland", "2026-09-27T03:00:00", ZONE_ONE, "2026-09-26T14:00:00Z", NULL,
         "the second after it"},
        {"Pacific/Auckland", "2040-04-01T02:30:00", ZONE_TWO, "2040-03-31T13:30:00Z",
         "2040-03-31T14:30:00Z", "2040, by the rule in the file's last line"},
        {"Pacific/Auckland", "2040-09-30T02:30:00", ZONE_NONE, NULL, NULL, "2040, spring"},
        {"Europe/Paris", "2040-03-25T02:30:00", ZONE_NONE, NULL, NULL, "last Sunday in March"},
        {"Europe/Paris", "2040-10-28T02:30:00", ZONE_TWO, "2040-10-28T00:30:00Z",
         "2040-10-28T01:30:00Z", "last Sunday in October"},
        {"America/New_York", "2026-03-08T02:30:00", ZONE_NONE, NULL, NULL, "second Sunday"},
        {"America/New_York", "2026-11-01T01:30:00", ZONE_TWO, "2026-11-01T05:30:00Z",
         "2026-11-01T06:30:00Z", "first Sunday"},
        {"Australia/Lord_Howe", "2026-04-05T01:45:00", ZONE_TWO, "2026-04-04T14:45:00Z",
         "2026-04-04T15:15:00Z", "half an hour that comes twice"},
        {"Australia/Lord_Howe", "2026-10-04T02:15:00", ZONE_NONE, NULL, NULL,
         "half an hour that is jumped over"},
        {"Pacific/Apia", "2011-12-30T12:00:00", ZONE_NONE, NULL, NULL,
         "Samoa had no 30 December 2011"},
        {"Europe/Dublin", "2026-10-25T01:30:00", ZONE_TWO, "2026-10-25T00:30:00Z",
         "2026-10-25T01:30:00Z", "written as winter time that is behind"},
        {"Asia/Kolkata", "2026-05-01T05:30:00", ZONE_ONE, "2026-05-01T00:00:00Z", NULL,
         "no changes"},
        {"UTC", "2026-05-01T09:00:00", ZONE_ONE, "2026-05-01T09:00:00Z", NULL, "no zone at all"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct civil civil = civil_of(rows[i].civil);
        instant at[2] = {0};
        enum zone_answer answer = zone_to_instants(load(rows[i].zone), &civil, at);

        if (answer != rows[i].answer)
            fail_msg("%s %s: answer %d: %s", rows[i].zone, rows[i].civil, (int)answer,
                     rows[i].reason);
        if (rows[i].first)
            assert_string_equal(instant_text(mem, at[0]), rows[i].first);
        if (rows[i].second)
            assert_string_equal(instant_text(mem, at[1]), rows[i].second);
    }
}

static void a_day_has_the_hours_its_clocks_had(void **state)
{
    (void)state;

    static const struct {
        const char *zone;
        const char *day;
        const char *starts;
        int minutes;
        const char *reason;
    } rows[] = {
        {"Pacific/Auckland", "2026-05-01", "2026-04-30T12:00:00Z", 1440, "a common day"},
        {"Pacific/Auckland", "2026-04-05", "2026-04-04T11:00:00Z", 1500, "25 hours"},
        {"Pacific/Auckland", "2026-09-27", "2026-09-26T12:00:00Z", 1380, "23 hours"},
        {"Australia/Lord_Howe", "2026-04-05", "2026-04-04T13:00:00Z", 1470, "24 1/2 hours"},
        {"America/Havana", "2026-03-08", "2026-03-08T05:00:00Z", 1380,
         "clocks jump at 00:00, so the day starts at 01:00"},
        {"America/Havana", "2026-11-01", "2026-11-01T04:00:00Z", 1500,
         "00:00 comes twice on the same day: the first"},
        {"America/St_Johns", "2010-11-07", "2010-11-07T03:30:00Z", 1440,
         "at 00:01 back to 23:01: the second midnight"},
        {"America/St_Johns", "2010-11-06", "2010-11-06T02:30:00Z", 1500,
         "so the day before has 25 hours"},
        {"Pacific/Apia", "2011-12-30", "2011-12-30T10:00:00Z", 0, "a day that was left out"},
        {"Pacific/Apia", "2011-12-31", "2011-12-30T10:00:00Z", 1440, "and the one after it"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct zone *zone = load(rows[i].zone);
        day_number day = day_of(rows[i].day);
        instant starts = zone_day_start(zone, day);
        int64_t minutes = (zone_day_start(zone, day + 1) - starts) / (60 * SECOND_US);

        if (strcmp(instant_text(mem, starts), rows[i].starts) != 0 || minutes != rows[i].minutes)
            fail_msg("%s %s starts %s and has %lld minutes: %s", rows[i].zone, rows[i].day,
                     instant_text(mem, starts), (long long)minutes, rows[i].reason);
    }
}

/* Newfoundland went back from 00:01 to 23:01 until 2011 (tz database, file northamerica). */
static void a_minute_past_midnight_that_is_taken_back_belongs_to_the_day_before(void **state)
{
    const struct zone *zone = load("America/St_Johns");
    const struct civil past_midnight = civil_of("2010-11-07T00:00:30");
    instant at[2];

    (void)state;
    assert_int_equal(zone_to_instants(zone, &past_midnight, at), ZONE_TWO);
    assert_int_equal(zone_day(zone, at[0]), day_of("2010-11-06"));
    assert_int_equal(zone_day(zone, at[1]), day_of("2010-11-07"));
}

static void a_day_may_start_at_another_hour(void **state)
{
    (void)state;

    static const struct {
        const char *day;
        int hour;
        const char *starts;
        const char *reason;
    } rows[] = {
        {"2026-05-01", 9, "2026-04-30T21:00:00Z", "a common day"},
        {"2026-04-05", 2, "2026-04-04T13:00:00Z", "02:00 comes twice: the first"},
        {"2026-09-27", 2, "2026-09-26T14:00:00Z", "02:00 never comes: the jump"},
        {"2026-09-27", 3, "2026-09-26T14:00:00Z", "which is 03:00"},
    };
    const struct zone *zone = load("Pacific/Auckland");

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        day_number day = day_of(rows[i].day);
        instant starts = zone_day_start_at(zone, day, rows[i].hour);

        if (strcmp(instant_text(mem, starts), rows[i].starts) != 0)
            fail_msg("%s at %d starts %s: %s", rows[i].day, rows[i].hour, instant_text(mem, starts),
                     rows[i].reason);
        assert_int_equal(zone_day_at(zone, starts, rows[i].hour), day);
        assert_int_equal(zone_day_at(zone, starts - 1, rows[i].hour), day - 1);
    }
}

static const char *const zones[] = {
    "Pacific/Auckland",   "Pacific/Chatham",     "Australia/Sydney", "Australia/Lord_Howe",
    "Australia/Adelaide", "Asia/Tokyo",          "Asia/Kolkata",     "Asia/Tehran",
    "Asia/Gaza",          "Africa/Casablanca",   "Africa/Cairo",     "Europe/London",
    "Europe/Dublin",      "Europe/Paris",        "Europe/Moscow",    "America/St_Johns",
    "America/New_York",   "America/Los_Angeles", "America/Nuuk",     "America/Santiago",
    "America/Havana",     "Pacific/Apia",        "Antarctica/Troll", "Pacific/Kiritimati",
};

/* Every instant lies in exactly one day, also where clocks cross midnight or the date line. */
static void days_follow_without_gap_or_overlap(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(zones); i++) {
        const struct zone *zone = load(zones[i]);
        day_number last = day_of("2040-12-31");

        for (day_number day = day_of("1985-01-01"); day <= last; day++) {
            instant start = zone_day_start(zone, day);
            instant end = zone_day_start(zone, day + 1);

            if (start == end)
                continue;
            if (zone_day(zone, start) != day || zone_day(zone, end - 1) != day ||
                zone_day(zone, start + (end - start) / 2) != day)
                fail_msg("%s %s", zones[i], day_text(mem, day));
        }
        arena_reset(mem);
    }
}

static void same_as_the_c_library(const struct zone *zone, int64_t seconds)
{
    time_t at = (time_t)seconds;
    struct tm tm;
    int offset_s = 0;
    const char *abbreviation = "";
    struct civil civil = zone_to_civil(zone, seconds * SECOND_US, &offset_s, &abbreviation);

    localtime_r(&at, &tm);
    if (civil.year != tm.tm_year + 1900 || civil.month != tm.tm_mon + 1 ||
        civil.day != tm.tm_mday || civil.hour != tm.tm_hour || civil.minute != tm.tm_min ||
        civil.second != tm.tm_sec || offset_s != tm.tm_gmtoff ||
        strcmp(abbreviation, tm.tm_zone) != 0)
        fail_msg("%s at %lld: %d-%02d-%02d %02d:%02d %d %s", zone_name(zone), (long long)seconds,
                 civil.year, civil.month, civil.day, civil.hour, civil.minute, offset_s,
                 abbreviation);

    instant found[2];
    enum zone_answer answer = zone_to_instants(zone, &civil, found);

    if (answer == ZONE_NONE || (found[0] != seconds * SECOND_US &&
                                (answer != ZONE_TWO || found[1] != seconds * SECOND_US)))
        fail_msg("%s at %lld does not come back", zone_name(zone), (long long)seconds);
}

/* The second around a change between two instants, if there is one. */
static void same_around_the_change(const struct zone *zone, int64_t from, int64_t to)
{
    int before;
    int after;

    zone_to_civil(zone, from * SECOND_US, &before, NULL);
    zone_to_civil(zone, to * SECOND_US, &after, NULL);
    if (before == after)
        return;
    while (to - from > 1) {
        int64_t middle = from + (to - from) / 2;
        int here;

        zone_to_civil(zone, middle * SECOND_US, &here, NULL);
        *(here == before ? &from : &to) = middle;
    }
    same_as_the_c_library(zone, from);
    same_as_the_c_library(zone, to);
}

/* Against the C library's own reader of the same files, from 1900 to 2100 and far ahead. */
static void every_change_is_where_the_c_library_has_it(void **state)
{
    const struct {
        int from_year;
        int to_year;
        int64_t step_s;
    } spans[] = {
        {1900, 1985, 5 * 86400 + 3600}, {1985, 2045, 40000},        {2045, 2100, 3 * 86400 + 7777},
        {2430, 2450, 86400 + 3600},     {2830, 2850, 86400 + 3600}, {9990, 9999, 86400 + 3600},
    };
    char *kept = getenv("TZ") ? arena_strdup(mem, getenv("TZ")) : NULL;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(zones); i++) {
        const struct zone *zone = load(zones[i]);

        setenv("TZ", zones[i], 1);
        tzset();
        for (size_t j = 0; j < ARRAY_LEN(spans); j++) {
            int64_t from = (int64_t)day_from_civil(spans[j].from_year, 1, 1) * 86400;
            int64_t to = (int64_t)day_from_civil(spans[j].to_year, 1, 1) * 86400;

            for (int64_t at = from; at < to; at += spans[j].step_s) {
                same_as_the_c_library(zone, at);
                same_around_the_change(zone, at, at + spans[j].step_s);
            }
        }
    }
    if (kept)
        setenv("TZ", kept, 1);
    else
        unsetenv("TZ");
    tzset();
}

static void a_name_that_does_not_exist_is_refused_with_the_nearest(void **state)
{
    (void)state;

    static const struct {
        const char *name;
        const char *hint;
        const char *reason;
    } rows[] = {
        {"Pacific/Aukland", "Did you mean Pacific/Auckland?", "a slip"},
        {"pacific/auckland", "Did you mean Pacific/Auckland?", "letters in the wrong case"},
        {"Auckland", "Did you mean Pacific/Auckland?", "the city alone"},
        {"New York", "Did you mean America/New_York?", "a city with a space"},
        {"Zzzzzzzzzzzzzzz/Qqqqqqqqqqqqqqqqqq",
         "Use a name of the tz database, such as Pacific/Auckland.", "nothing near"},
        {"", "Use a name of the tz database, such as Pacific/Auckland.", "nothing"},
        {"../../../etc/hostname", NULL, "a path out of the folder"},
        {"/etc/localtime", NULL, "a path from the root"},
        {"localtime", NULL, "the machine's own zone differs from machine to machine"},
        {"Pacific", NULL, "a folder"},
        {"zone.tab", NULL, "a file that is no zone"},
        {"leapseconds", NULL, "another one"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct zone *zone = NULL;
        struct err err = ERR_INIT;

        if (zone_load(mem, rows[i].name, &zone, &err))
            fail_msg("'%s' was loaded: %s", rows[i].name, rows[i].reason);
        assert_null(zone);
        assert_int_equal(err.code, ERR_INVALID);
        if (rows[i].hint && strcmp(err.hint, rows[i].hint) != 0)
            fail_msg("'%s': %s: %s", rows[i].name, err.hint, rows[i].reason);
    }
}

static void a_zone_that_counts_leap_seconds_is_refused(void **state)
{
    const struct zone *zone = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (access("/usr/share/zoneinfo/right/UTC", R_OK) != 0)
        skip();
    assert_false(zone_load(mem, "right/UTC", &zone, &err));
    assert_string_equal(err.text, "time zone right/UTC: a time zone file that counts leap seconds");
}

static void a_fixed_zone_never_changes(void **state)
{
    const struct zone *zone = zone_fixed(mem, -(3 * 3600 + 30 * 60));
    const struct civil civil = civil_of("2026-05-01T21:00:00");
    instant at[2];

    (void)state;
    assert_string_equal(zone_name(zone), "UTC-03:30");
    assert_int_equal(zone_to_instants(zone, &civil, at), ZONE_ONE);
    assert_string_equal(instant_text(mem, at[0]), "2026-05-02T00:30:00Z");
    assert_string_equal(zone_text(mem, zone, at[0]), "2026-05-01 21:00");
    assert_string_equal(zone_text(mem, zone, at[0] + 5 * SECOND_US), "2026-05-01 21:00:05");
    assert_string_equal(zone_name(zone_fixed(mem, 0)), "UTC");
}

static void microseconds_survive_the_way_there_and_back(void **state)
{
    const struct zone *zone = load("Pacific/Auckland");
    struct civil civil = civil_of("1969-12-31T11:59:59.999999");
    instant at[2];

    (void)state;
    assert_int_equal(zone_to_instants(zone, &civil, at), ZONE_ONE);
    assert_string_equal(instant_text(mem, at[0]), "1969-12-30T23:59:59.999999Z");

    struct civil back = zone_to_civil(zone, at[0], NULL, NULL);

    assert_memory_equal(&back, &civil, sizeof(civil));
}

/* The release is a year and a letter: "2025b" (tz database, file NEWS). */
static void the_release_of_the_database_is_told(void **state)
{
    const char *version = zone_data_version(mem);

    (void)state;
    if (strcmp(version, "unknown") == 0)
        skip();
    assert_int_equal(strspn(version, "0123456789"), 4);
    assert_true(version[4] >= 'a' && version[4] <= 'z');
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_civil_time_comes_never_once_or_twice),
        cmocka_unit_test(a_day_has_the_hours_its_clocks_had),
        cmocka_unit_test(a_minute_past_midnight_that_is_taken_back_belongs_to_the_day_before),
        cmocka_unit_test(a_day_may_start_at_another_hour),
        cmocka_unit_test(days_follow_without_gap_or_overlap),
        cmocka_unit_test(every_change_is_where_the_c_library_has_it),
        cmocka_unit_test(a_name_that_does_not_exist_is_refused_with_the_nearest),
        cmocka_unit_test(a_zone_that_counts_leap_seconds_is_refused),
        cmocka_unit_test(a_fixed_zone_never_changes),
        cmocka_unit_test(microseconds_survive_the_way_there_and_back),
        cmocka_unit_test(the_release_of_the_database_is_told),
    };

    return cmocka_run_group_tests_name("base/zone", tests, arena_setup, arena_teardown);
}

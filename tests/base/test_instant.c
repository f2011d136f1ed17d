#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>
#include <time.h>

#include "base/instant.h"

static void days_count_from_1970_in_the_gregorian_calendar(void **state)
{
    (void)state;

    static const struct {
        int year;
        int month;
        int day;
        day_number number;
        const char *reason;
    } rows[] = {
        {1970, 1, 1, 0, "the first day"},
        {1969, 12, 31, -1, "the day before it"},
        {2000, 2, 29, 11016, "a leap day of a century that has one"},
        {1900, 3, 1, -25508, "a century that has none"},
        {2000, 1, 1, 10957, "thirty years, seven of them with a leap day"},
        {1, 1, 1, -719162, "the first year"},
        {9999, 12, 31, 2932896, "the last year"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        day_number number = day_from_civil(rows[i].year, rows[i].month, rows[i].day);
        struct civil back = civil_from_day(number);

        if (number != rows[i].number)
            fail_msg("%d-%d-%d is day %d: %s", rows[i].year, rows[i].month, rows[i].day, number,
                     rows[i].reason);
        assert_int_equal(back.year, rows[i].year);
        assert_int_equal(back.month, rows[i].month);
        assert_int_equal(back.day, rows[i].day);
    }
}

/* Every third day of ten thousand years against the C library's gmtime_r(). */
static void days_agree_with_the_c_library(void **state)
{
    (void)state;
    for (day_number day = day_from_civil(1, 1, 1); day <= day_from_civil(9999, 12, 31); day += 3) {
        time_t seconds = (time_t)day * 86400;
        struct tm tm;
        struct civil civil = civil_from_day(day);

        gmtime_r(&seconds, &tm);
        if (civil.year != tm.tm_year + 1900 || civil.month != tm.tm_mon + 1 ||
            civil.day != tm.tm_mday || day_from_civil(civil.year, civil.month, civil.day) != day)
            fail_msg("day %d became %d-%d-%d", day, civil.year, civil.month, civil.day);
    }
}

/* Well-formed times are the examples of RFC 3339, section 5.8, and around them. */
static void an_instant_is_read_with_its_offset(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;

    static const struct {
        const char *text;
        const char *shown;
        const char *reason;
    } rows[] = {
        {"1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520000Z", "RFC 3339, first example"},
        {"1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z", "RFC 3339, second example"},
        {"1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870000Z", "RFC 3339, last example"},
        {"2026-05-01t09:00:00z", "2026-05-01T09:00:00Z", "small letters"},
        {"2026-05-01 09:00:00Z", "2026-05-01T09:00:00Z", "a space, as section 5.6 allows"},
        {"1969-12-31T23:59:59.999999Z", "1969-12-31T23:59:59.999999Z", "before 1970"},
        {"2026-05-01T09:00:00.1234569Z", "2026-05-01T09:00:00.123456Z", "finer is dropped"},
        {"2024-02-29T00:00:00+14:00", "2024-02-28T10:00:00Z", "a leap day far east"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        instant at = 0;

        if (!instant_parse(rows[i].text, &at, &err))
            fail_msg("%s: %s", rows[i].text, err.text);
        if (strcmp(instant_text(mem, at), rows[i].shown) != 0)
            fail_msg("%s became %s: %s", rows[i].text, instant_text(mem, at), rows[i].reason);
    }
}

static void what_is_no_instant_is_refused_with_what_was_expected(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        const char *expected;
    } rows[] = {
        {"", "not an instant such as"},
        {"2026-05-01", "not an instant such as"},
        {"2026-05-01T09:00:00", "not an instant such as"}, /* no zone: no instant */
        {"2026-05-01T09:00Z", "not an instant such as"},
        {"2026-05-01T09:00:00+1200", "not an instant such as"},
        {"2026-05-01T09:00:00+24:00", "not an instant such as"},
        {"2026-05-01T09:00:00.Z", "not an instant such as"},
        {"2026-05-01T09:00:00Z ", "not an instant such as"},
        {"1/5/2026 09:00", "not an instant such as"},
        {"2026-02-30T09:00:00Z", "no date and time of the calendar"},
        {"2026-05-01T24:00:00Z", "no date and time of the calendar"},
        {"1990-12-31T23:59:60Z", "no date and time of the calendar"}, /* a leap second */
        {"0000-01-01T00:00:00Z", "no date and time of the calendar"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        instant at = 7;

        if (instant_parse(rows[i].text, &at, &err))
            fail_msg("'%s' was read", rows[i].text);
        assert_int_equal(err.code, ERR_INVALID);
        if (!strstr(err.text, rows[i].expected))
            fail_msg("'%s': %s", rows[i].text, err.text);
        assert_int_equal(at, 7);
    }
}

static void days_and_months_are_read_and_written(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    day_number day = 0;

    (void)state;
    assert_true(day_parse("2026-05-31", &day, &err));
    assert_string_equal(day_text(mem, day), "2026-05-31");
    assert_string_equal(day_words(mem, day), "31 May 2026");
    assert_string_equal(month_words(mem, day), "May 2026");
    assert_string_equal(day_text(mem, month_first(day)), "2026-05-01");
    assert_string_equal(day_text(mem, month_next(day)), "2026-06-01");
    assert_true(month_parse("2025-12", &day, &err));
    assert_string_equal(day_text(mem, day), "2025-12-01");
    assert_string_equal(day_text(mem, month_next(day)), "2026-01-01");
    assert_false(day_parse("2025-02-29", &day, &err));
    assert_string_equal(err.text, "'2025-02-29' is no day of the calendar");
    assert_false(day_parse("2025-2-9", &day, &err));
    assert_false(day_parse("2025-02-09x", &day, &err));
    assert_false(month_parse("2025-13", &day, &err));
    assert_false(month_parse("2025-1", &day, &err));
    assert_string_equal(day_text(mem, day), "2025-12-01");
}

static void a_civil_time_is_valid_or_not(void **state)
{
    (void)state;

    static const struct {
        struct civil civil;
        bool valid;
    } rows[] = {
        {{2024, 2, 29, 23, 59, 59, 999999}, true},
        {{2023, 2, 29, 0, 0, 0, 0}, false},
        {{2100, 2, 29, 0, 0, 0, 0}, false},
        {{2026, 4, 31, 0, 0, 0, 0}, false},
        {{2026, 0, 1, 0, 0, 0, 0}, false},
        {{2026, 13, 1, 0, 0, 0, 0}, false},
        {{2026, 1, 0, 0, 0, 0, 0}, false},
        {{2026, 1, 1, 24, 0, 0, 0}, false},
        {{2026, 1, 1, 0, 60, 0, 0}, false},
        {{2026, 1, 1, 0, 0, 60, 0}, false},
        {{2026, 1, 1, 0, 0, 0, -1}, false},
        {{2026, 1, 1, 0, 0, 0, 1000000}, false},
        {{0, 1, 1, 0, 0, 0, 0}, false},
        {{10000, 1, 1, 0, 0, 0, 0}, false},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (civil_valid(&rows[i].civil) != rows[i].valid)
            fail_msg("row %zu", i);
}

static void the_instant_and_the_civil_time_are_each_others_inverse(void **state)
{
    const struct civil civil = {1969, 12, 31, 23, 59, 58, 999999};
    struct civil back = instant_to_utc(instant_from_utc(&civil));

    (void)state;
    assert_int_equal(instant_from_utc(&civil), -1000001);
    assert_memory_equal(&back, &civil, sizeof(civil));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_count_from_1970_in_the_gregorian_calendar),
        cmocka_unit_test(days_agree_with_the_c_library),
        cmocka_unit_test(an_instant_is_read_with_its_offset),
        cmocka_unit_test(what_is_no_instant_is_refused_with_what_was_expected),
        cmocka_unit_test(days_and_months_are_read_and_written),
        cmocka_unit_test(a_civil_time_is_valid_or_not),
        cmocka_unit_test(the_instant_and_the_civil_time_are_each_others_inverse),
    };

    return cmocka_run_group_tests_name("base/instant", tests, NULL, NULL);
}

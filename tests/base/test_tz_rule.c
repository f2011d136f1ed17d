#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/instant.h"
#include "base/tz_rule.h"

/* The first rule is RFC 8536's example of section 3.3.1 (its appendix has the last one). */
static void a_rule_gives_the_instants_of_its_changes(void **state)
{
    (void)state;

    static const struct {
        const char *rule;
        int year;
        const char *to_summer;
        const char *to_standard;
        const char *reason;
    } rows[] = {
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", 2026, "2026-03-29T01:00:00Z", "2026-10-25T01:00:00Z",
         "hours before the day"},
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", 2026, "2026-09-26T14:00:00Z", "2026-04-04T14:00:00Z",
         "the south"},
        {"IST-1GMT0,M10.5.0,M3.5.0/1", 2026, "2026-10-25T01:00:00Z", "2026-03-29T01:00:00Z",
         "winter time that is behind"},
        {"EET-2EEST,M3.4.4/50,M10.4.4/50", 2026, "2026-03-28T00:00:00Z", "2026-10-23T23:00:00Z",
         "hours past the day"},
        {"AAA5BBB,J60/0,J61/0", 2024, "2024-03-01T05:00:00Z", "2024-03-02T04:00:00Z",
         "J60 is 1 March in a leap year"},
        {"AAA5BBB,J59/0,J60/0", 2024, "2024-02-28T05:00:00Z", "2024-03-01T04:00:00Z",
         "29 February is never counted"},
        {"AAA5BBB,59/0,60/0", 2024, "2024-02-29T05:00:00Z", "2024-03-01T04:00:00Z",
         "and always without the J"},
        {"AAA5BBB4:30:15,M2.5.4/1:02:03,M3.1.1", 2024, "2024-02-29T06:02:03Z",
         "2024-03-04T06:30:15Z", "minutes and seconds"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct tz_rule rule;

        if (!tz_rule_parse(rows[i].rule, &rule))
            fail_msg("%s was not read", rows[i].rule);

        int64_t summer = tz_change_at(&rule.to_summer, rows[i].year, rule.standard.offset_s);
        int64_t standard = tz_change_at(&rule.to_standard, rows[i].year, rule.summer.offset_s);
        const char *to_summer = instant_text(mem, summer * SECOND_US);
        const char *to_standard = instant_text(mem, standard * SECOND_US);

        if (strcmp(to_summer, rows[i].to_summer) != 0 ||
            strcmp(to_standard, rows[i].to_standard) != 0)
            fail_msg("%s: %s, %s: %s", rows[i].rule, to_summer, to_standard, rows[i].reason);
    }
}

static void a_zone_without_summer_time_has_no_changes(void **state)
{
    struct tz_rule rule;

    (void)state;
    assert_true(tz_rule_parse("<+0530>-5:30", &rule));
    assert_false(rule.changes);
    assert_int_equal(rule.standard.offset_s, 5 * 3600 + 30 * 60);
    assert_string_equal(rule.standard.abbreviation, "+0530");
}

static void what_is_no_rule_is_refused(void **state)
{
    static const char *const texts[] = {
        "",
        "UTC",                          /* no offset */
        "AB0",                          /* two letters */
        "<+01-1",                       /* no end of the name */
        "ABCDEFGHIJKLMNOPQ0",           /* a name that is too long */
        "CET-25",                       /* more hours than a day */
        "CET-1:60",                     /* more minutes than an hour */
        "CET-1CEST",                    /* summer time without its dates */
        "CET-1CEST,M3.5.0",             /* one date */
        "CET-1CEST,M13.5.0,M10.5.0",    /* no such month */
        "CET-1CEST,M3.0.0,M10.5.0",     /* no such week */
        "CET-1CEST,M3.5.7,M10.5.0",     /* no such day */
        "CET-1CEST,J0,J365",            /* J counts from 1 */
        "CET-1CEST,J1,J366",            /* and ends at 365 */
        "CET-1CEST,M3.5.0/168,M10.5.0", /* more hours than a week */
        "CET-1CEST,M3.5.0,M10.5.0/3x",  /* something behind it */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        struct tz_rule rule;

        if (tz_rule_parse(texts[i], &rule))
            fail_msg("'%s' was read", texts[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rule_gives_the_instants_of_its_changes),
        cmocka_unit_test(a_zone_without_summer_time_has_no_changes),
        cmocka_unit_test(what_is_no_rule_is_refused),
    };

    return cmocka_run_group_tests_name("base/tz_rule", tests, NULL, NULL);
}

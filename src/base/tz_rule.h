/*
 * Time zone rule: how a zone's clocks change every year from now on, as the last line of a
 * TZif file has it ("NZST-12NZDT,M9.5.0,M4.1.0/3"): POSIX.1-2017 section 8.3 with the wider
 * hours of RFC 8536 section 3.3.1.
 */
#ifndef BASE_TZ_RULE_H
#define BASE_TZ_RULE_H

#include <stdbool.h>
#include <stdint.h>

enum { TZ_ABBREVIATION_MOST = 15 };

/* What clocks show: seconds ahead of UTC, and what that is called. */
struct tz_clock {
    int32_t offset_s;
    char abbreviation[TZ_ABBREVIATION_MOST + 1];
};

enum tz_day_kind {
    TZ_DAY_WITHOUT_LEAP, /* Jn: 1-365, 29 February never counted */
    TZ_DAY_OF_YEAR,      /* n: 0-365 */
    TZ_DAY_OF_WEEK,      /* Mm.w.d: d 0 is Sunday, w 5 is the last one */
};

/* A yearly change: the day, and the seconds after its midnight by the clocks until then. */
struct tz_change {
    enum tz_day_kind kind;
    int day;
    int month;
    int week;
    int32_t time_s;
};

struct tz_rule {
    struct tz_clock standard;
    struct tz_clock summer;
    bool changes; /* false: standard all year, and the rest is unused */
    struct tz_change to_summer;
    struct tz_change to_standard;
};

/* False when the text is no such rule. Summer time without its two dates is refused too. */
bool tz_rule_parse(const char *text, struct tz_rule *out);

/* Seconds since 1970 UTC of a change in a year; offset_s is that of the clocks until then. */
int64_t tz_change_at(const struct tz_change *change, int year, int32_t offset_s);

#endif

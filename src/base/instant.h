/*
 * Instants and civil dates, without any time zone (base/zone has those).
 *
 * An instant is microseconds since 1970-01-01T00:00:00Z. A day number is civil
 * days since 1970-01-01 in the proleptic Gregorian calendar, of no particular
 * zone. Nothing here reads a clock.
 */
#ifndef BASE_INSTANT_H
#define BASE_INSTANT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

typedef int64_t instant;    /* microseconds, UTC */
typedef int32_t day_number; /* civil days since 1970-01-01 */

#define INSTANT_NONE INT64_MIN
#define DAY_NONE INT32_MIN
#define SECOND_US ((int64_t)1000000)
#define HOUR_US (3600 * SECOND_US)
#define DAY_US (24 * HOUR_US)

/* A reading of a wall clock; month 1-12, hour 0-23. */
struct civil {
    int year;
    int month;
    int day;
    int hour;
    int minute;
    int second;
    int microsecond;
};

/* Whether the fields name a day of the calendar and a time of day (no leap second, no 24:00). */
bool civil_valid(const struct civil *civil);

/* The instant at which a UTC clock shows this. */
instant instant_from_utc(const struct civil *civil);
struct civil instant_to_utc(instant at);

day_number day_from_civil(int year, int month, int day);
struct civil civil_from_day(day_number day); /* at 00:00 */
int days_in_month(int year, int month);

/* First day of the month, quarter or year that `day` lies in, and of the one after. */
day_number month_first(day_number day);
day_number month_next(day_number day);

/* "2026-05-01T09:00:00Z", with ".123456" only when there is a fraction. */
char *instant_text(struct arena *mem, instant at);

/* RFC 3339 with Z or an offset. ERR_INVALID names what was expected. */
MUST_CHECK bool instant_parse(const char *text, instant *out, struct err *err);

/* "2026-05-01" both ways; "2026-05" for months (its first day). */
char *day_text(struct arena *mem, day_number day);
MUST_CHECK bool day_parse(const char *text, day_number *out, struct err *err);
MUST_CHECK bool month_parse(const char *text, day_number *first, struct err *err);

/* "May 2026", "1 May 2026": for people. */
char *month_words(struct arena *mem, day_number day);
char *day_words(struct arena *mem, day_number day);

/* "May" of 5. */
const char *month_name(int month);

#endif

#include "base/tz_rule.h"

#include <string.h>

#include "base/instant.h"

enum { MINUTE_S = 60, HOUR_S = 3600, DAY_S = 86400, WEEK_DAYS = 7 };

/* Hours before and after a day's midnight at which a change may come (RFC 8536). */
enum { CHANGE_HOURS_MOST = 167, OFFSET_HOURS_MOST = 24, CHANGE_USUAL_S = 2 * HOUR_S };

static bool read_mark(const char **text, char mark)
{
    if (**text != mark)
        return false;
    (*text)++;

    return true;
}

/* One to three digits, at most `most`. */
static bool read_number(const char **text, int least, int most, int *out)
{
    int value = 0;
    int count = 0;

    for (; **text >= '0' && **text <= '9' && count < 3; count++)
        value = value * 10 + *(*text)++ - '0';
    *out = value;

    return count > 0 && value >= least && value <= most;
}

/* [+-]hh[:mm[:ss]] */
static bool read_time(const char **text, int hours_most, int32_t *out)
{
    bool negative = **text == '-';
    int hours;
    int minutes = 0;
    int seconds = 0;

    if (**text == '-' || **text == '+')
        (*text)++;
    if (!read_number(text, 0, hours_most, &hours))
        return false;
    if (read_mark(text, ':')) {
        if (!read_number(text, 0, 59, &minutes))
            return false;
        if (read_mark(text, ':') && !read_number(text, 0, 59, &seconds))
            return false;
    }

    int32_t value = hours * HOUR_S + minutes * MINUTE_S + seconds;

    *out = negative ? -value : value;

    return true;
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_quoted_letter(char c)
{
    return is_letter(c) || (c >= '0' && c <= '9') || c == '+' || c == '-';
}

/* At least three letters, or <letters, digits and signs>. */
static bool read_name(const char **text, char *out)
{
    bool quoted = read_mark(text, '<');
    const char *start = *text;

    while (quoted ? is_quoted_letter(**text) : is_letter(**text))
        (*text)++;

    size_t length = (size_t)(*text - start);

    if (length < 3 || length > TZ_ABBREVIATION_MOST || (quoted && !read_mark(text, '>')))
        return false;
    memcpy(out, start, length);
    out[length] = '\0';

    return true;
}

static bool read_change_day(const char **text, struct tz_change *out)
{
    if (read_mark(text, 'J')) {
        out->kind = TZ_DAY_WITHOUT_LEAP;

        return read_number(text, 1, 365, &out->day);
    }
    if (read_mark(text, 'M')) {
        out->kind = TZ_DAY_OF_WEEK;

        return read_number(text, 1, 12, &out->month) && read_mark(text, '.') &&
               read_number(text, 1, 5, &out->week) && read_mark(text, '.') &&
               read_number(text, 0, 6, &out->day);
    }
    out->kind = TZ_DAY_OF_YEAR;

    return read_number(text, 0, 365, &out->day);
}

/* ,day[/time] */
static bool read_change(const char **text, struct tz_change *out)
{
    if (!read_mark(text, ',') || !read_change_day(text, out))
        return false;
    out->time_s = CHANGE_USUAL_S;

    return !read_mark(text, '/') || read_time(text, CHANGE_HOURS_MOST, &out->time_s);
}

/* Offsets are written the other way round: -12 is twelve hours ahead. */
static bool read_offset(const char **text, int32_t *out)
{
    if (!read_time(text, OFFSET_HOURS_MOST, out))
        return false;
    *out = -*out;

    return true;
}

bool tz_rule_parse(const char *text, struct tz_rule *out)
{
    struct tz_rule rule = {.changes = false};

    if (!read_name(&text, rule.standard.abbreviation) ||
        !read_offset(&text, &rule.standard.offset_s))
        return false;
    if (*text) {
        rule.changes = true;
        rule.summer.offset_s = rule.standard.offset_s + HOUR_S;
        if (!read_name(&text, rule.summer.abbreviation) ||
            (*text != ',' && !read_offset(&text, &rule.summer.offset_s)) ||
            !read_change(&text, &rule.to_summer) || !read_change(&text, &rule.to_standard) || *text)
            return false;
    }
    *out = rule;

    return true;
}

/* 0 is Sunday; day 0 of the count, 1 January 1970, was a Thursday. */
static int day_of_week(day_number day)
{
    int rest = (int)((day + 4) % WEEK_DAYS);

    return rest < 0 ? rest + WEEK_DAYS : rest;
}

/* The week-th `weekday` of a month, or its last one. */
static day_number weekday_of_month(int year, int month, int week, int weekday)
{
    day_number first = day_from_civil(year, month, 1);
    day_number next = month_next(first);
    day_number day = first + (weekday - day_of_week(first) + WEEK_DAYS) % WEEK_DAYS;

    day += (week - 1) * WEEK_DAYS;

    return day < next ? day : day - WEEK_DAYS;
}

static day_number change_day(const struct tz_change *change, int year)
{
    day_number new_year = day_from_civil(year, 1, 1);

    switch (change->kind) {
    case TZ_DAY_WITHOUT_LEAP:
        /* From 1 March on a leap year has one day more before it. */
        return new_year + change->day - 1 + (change->day >= 60 && days_in_month(year, 2) == 29);
    case TZ_DAY_OF_WEEK:
        return weekday_of_month(year, change->month, change->week, change->day);
    case TZ_DAY_OF_YEAR:
    default:
        return new_year + change->day;
    }
}

int64_t tz_change_at(const struct tz_change *change, int year, int32_t offset_s)
{
    return (int64_t)change_day(change, year) * DAY_S + change->time_s - offset_s;
}

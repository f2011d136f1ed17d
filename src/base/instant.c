#include "base/instant.h"

#include <stdio.h>
#include <string.h>

enum { YEAR_LEAST = 1, YEAR_MOST = 9999, MONTHS = 12 };

static const char *const month_names[MONTHS] = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December",
};

static bool leap_year(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int days_in_month(int year, int month)
{
    static const int days[MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    return days[month - 1] + (month == 2 && leap_year(year));
}

static bool within(int value, int least, int most)
{
    return value >= least && value <= most;
}

bool civil_valid(const struct civil *civil)
{
    return within(civil->year, YEAR_LEAST, YEAR_MOST) && within(civil->month, 1, MONTHS) &&
           within(civil->day, 1, days_in_month(civil->year, civil->month)) &&
           within(civil->hour, 0, 23) && within(civil->minute, 0, 59) &&
           within(civil->second, 0, 59) && within(civil->microsecond, 0, (int)SECOND_US - 1);
}

/* The quotient rounded down, also below zero. */
static int64_t floor_div(int64_t over, int64_t under)
{
    return over / under - (over % under < 0);
}

enum { DAYS_IN_400_YEARS = 146097, DAYS_TO_1970 = 719468 };

/* Years are counted from 1 March, so that the leap day is a year's last. */
day_number day_from_civil(int year, int month, int day)
{
    int64_t march_year = month > 2 ? year : (int64_t)year - 1;
    int64_t era = floor_div(march_year, 400);
    int64_t year_of_era = march_year - era * 400;
    int64_t day_of_year = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + day - 1;
    int64_t day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;

    return (day_number)(era * DAYS_IN_400_YEARS + day_of_era - DAYS_TO_1970);
}

struct civil civil_from_day(day_number day)
{
    int64_t shifted = (int64_t)day + DAYS_TO_1970;
    int64_t era = floor_div(shifted, DAYS_IN_400_YEARS);
    int64_t day_of_era = shifted - era * DAYS_IN_400_YEARS;
    int64_t year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    int64_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int64_t march_month = (5 * day_of_year + 2) / 153;
    int month = (int)(march_month < 10 ? march_month + 3 : march_month - 9);

    return (struct civil){
        .year = (int)(year_of_era + era * 400 + (month <= 2)),
        .month = month,
        .day = (int)(day_of_year - (153 * march_month + 2) / 5 + 1),
    };
}

instant instant_from_utc(const struct civil *civil)
{
    int64_t minutes = (int64_t)civil->hour * 60 + civil->minute;

    return day_from_civil(civil->year, civil->month, civil->day) * DAY_US +
           (minutes * 60 + civil->second) * SECOND_US + civil->microsecond;
}

struct civil instant_to_utc(instant at)
{
    int64_t day = floor_div(at, DAY_US);
    int64_t rest = at - day * DAY_US;
    struct civil civil = civil_from_day((day_number)day);

    civil.hour = (int)(rest / HOUR_US);
    civil.minute = (int)(rest / (60 * SECOND_US) % 60);
    civil.second = (int)(rest / SECOND_US % 60);
    civil.microsecond = (int)(rest % SECOND_US);

    return civil;
}

day_number month_first(day_number day)
{
    struct civil civil = civil_from_day(day);

    return day - civil.day + 1;
}

day_number month_next(day_number day)
{
    struct civil civil = civil_from_day(day);

    return day - civil.day + 1 + days_in_month(civil.year, civil.month);
}

char *instant_text(struct arena *mem, instant at)
{
    struct civil civil = instant_to_utc(at);
    char fraction[16] = "";

    if (civil.microsecond)
        snprintf(fraction, sizeof(fraction), ".%06d", civil.microsecond);

    return arena_printf(mem, "%04d-%02d-%02dT%02d:%02d:%02d%sZ", civil.year, civil.month, civil.day,
                        civil.hour, civil.minute, civil.second, fraction);
}

/* Exactly `count` digits at *text, which moves past them. */
static bool read_digits(const char **text, int count, int *out)
{
    int value = 0;

    for (int i = 0; i < count; i++, (*text)++) {
        if (**text < '0' || **text > '9')
            return false;
        value = value * 10 + (**text - '0');
    }
    *out = value;

    return true;
}

static bool read_mark(const char **text, const char *marks)
{
    if (!**text || !strchr(marks, **text))
        return false;
    (*text)++;

    return true;
}

static bool read_day(const char **text, struct civil *out)
{
    return read_digits(text, 4, &out->year) && read_mark(text, "-") &&
           read_digits(text, 2, &out->month) && read_mark(text, "-") &&
           read_digits(text, 2, &out->day);
}

/* The digits after the point; what is finer than a microsecond is dropped. */
static bool read_fraction(const char **text, int *microsecond)
{
    int weight = (int)SECOND_US / 10;
    int digit;

    if (!read_digits(text, 1, &digit))
        return false;
    do {
        *microsecond += digit * weight;
        weight /= 10;
    } while (read_digits(text, 1, &digit));

    return true;
}

static bool read_clock(const char **text, struct civil *out)
{
    if (!read_digits(text, 2, &out->hour) || !read_mark(text, ":") ||
        !read_digits(text, 2, &out->minute) || !read_mark(text, ":") ||
        !read_digits(text, 2, &out->second))
        return false;

    return !read_mark(text, ".") || read_fraction(text, &out->microsecond);
}

/* Z or +hh:mm, in minutes ahead of UTC. */
static bool read_offset(const char **text, int *minutes)
{
    int sign = **text == '-' ? -1 : 1;
    int hour;
    int minute;

    *minutes = 0;
    if (read_mark(text, "Zz"))
        return true;
    if (!read_mark(text, "+-") || !read_digits(text, 2, &hour) || !read_mark(text, ":") ||
        !read_digits(text, 2, &minute))
        return false;
    *minutes = sign * (hour * 60 + minute);

    return hour <= 23 && minute <= 59;
}

bool instant_parse(const char *text, instant *out, struct err *err)
{
    const char *at = text;
    struct civil civil = {0};
    int offset_minutes;

    if (!read_day(&at, &civil) || !read_mark(&at, "Tt ") || !read_clock(&at, &civil) ||
        !read_offset(&at, &offset_minutes) || *at)
        return err_set(err, ERR_INVALID,
                       "'%.40s' is not an instant such as 2026-05-01T09:00:00Z or "
                       "2026-05-01T21:00:00+12:00",
                       text);
    if (!civil_valid(&civil))
        return err_set(err, ERR_INVALID, "'%.40s' is no date and time of the calendar", text);

    *out = instant_from_utc(&civil) - offset_minutes * 60 * SECOND_US;

    return true;
}

char *day_text(struct arena *mem, day_number day)
{
    struct civil civil = civil_from_day(day);

    return arena_printf(mem, "%04d-%02d-%02d", civil.year, civil.month, civil.day);
}

bool day_parse(const char *text, day_number *out, struct err *err)
{
    const char *at = text;
    struct civil civil = {0};

    if (!read_day(&at, &civil) || *at)
        return err_set(err, ERR_INVALID, "'%.40s' is not a date such as 2026-05-01", text);
    if (!civil_valid(&civil))
        return err_set(err, ERR_INVALID, "'%.40s' is no day of the calendar", text);

    *out = day_from_civil(civil.year, civil.month, civil.day);

    return true;
}

bool month_parse(const char *text, day_number *first, struct err *err)
{
    const char *at = text;
    struct civil civil = {.day = 1};

    if (!read_digits(&at, 4, &civil.year) || !read_mark(&at, "-") ||
        !read_digits(&at, 2, &civil.month) || *at)
        return err_set(err, ERR_INVALID, "'%.40s' is not a month such as 2026-05", text);
    if (!civil_valid(&civil))
        return err_set(err, ERR_INVALID, "'%.40s' is no month of the calendar", text);

    *first = day_from_civil(civil.year, civil.month, civil.day);

    return true;
}

char *month_words(struct arena *mem, day_number day)
{
    struct civil civil = civil_from_day(day);

    return arena_printf(mem, "%s %d", month_names[civil.month - 1], civil.year);
}

char *day_words(struct arena *mem, day_number day)
{
    struct civil civil = civil_from_day(day);

    return arena_printf(mem, "%d %s %d", civil.day, month_names[civil.month - 1], civil.year);
}

const char *month_name(int month)
{
    return month_names[month - 1];
}

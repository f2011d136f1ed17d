#include "judge/period.h"

enum { WEEK_DAYS = 7, QUARTER_MONTHS = 3, MONTHS = 12 };

/* Of 1970-01-01, a Thursday, with Monday as 0. */
enum { WEEKDAY_OF_DAY_0 = 3 };

static day_number months_later(day_number first, int months)
{
    struct civil civil = civil_from_day(first);
    int month = civil.year * MONTHS + civil.month - 1 + months;

    return day_from_civil(month / MONTHS, month % MONTHS + 1, 1);
}

/* First day of the licence year that begins in a civil year. */
static day_number anniversary_in(const struct limit *limit, int year)
{
    int month = limit->anniversary / 100;
    int day = limit->anniversary % 100;

    return day_from_civil(year, month, 1) + day - 1;
}

static void licence_year(const struct limit *limit, day_number day, day_number *from,
                         day_number *to)
{
    int year = civil_from_day(day).year;

    if (anniversary_in(limit, year) > day)
        year--;
    *from = anniversary_in(limit, year);
    *to = anniversary_in(limit, year + 1) - 1;
}

void judge_period(const struct limit *limit, day_number day, day_number *from, day_number *to)
{
    struct civil civil = civil_from_day(day);

    if (limit->period == PERIOD_LICENCE_YEAR && limit->anniversary != 0) {
        licence_year(limit, day, from, to);
    } else if (limit->period == PERIOD_YEAR || limit->period == PERIOD_LICENCE_YEAR) {
        *from = day_from_civil(civil.year, 1, 1);
        *to = day_from_civil(civil.year, MONTHS, 31);
    } else if (limit->period == PERIOD_QUARTER) {
        *from = months_later(month_first(day), -((civil.month - 1) % QUARTER_MONTHS));
        *to = months_later(*from, QUARTER_MONTHS) - 1;
    } else {
        *from = month_first(day);
        *to = month_next(day) - 1;
    }
}

bool period_is_span(const struct limit *limit)
{
    static const bool is_span[] = {
        [PERIOD_EACH_SAMPLE] = true,   [PERIOD_MONTH] = true,
        [PERIOD_QUARTER] = true,       [PERIOD_YEAR] = true,
        [PERIOD_LICENCE_YEAR] = true,  [PERIOD_DAY] = false,
        [PERIOD_WEEK] = false,         [PERIOD_RUNNING_DAYS] = false,
        [PERIOD_LAST_SAMPLES] = false, [PERIOD_DISCHARGE_RUN] = false,
    };

    return is_span[limit->period];
}

bool period_has_one_figure(const struct limit *limit)
{
    if (limit->period == PERIOD_DAY || limit->period == PERIOD_EACH_SAMPLE)
        return false;

    return limit->statistic != STATISTIC_VALUE || limit->allowance.kind != ALLOWANCE_NONE;
}

day_number period_week_first(const struct limit *limit, day_number day)
{
    int weekday = (int)((day + WEEKDAY_OF_DAY_0) % WEEK_DAYS + WEEK_DAYS) % WEEK_DAYS;

    return day - (weekday - limit->week_starts + WEEK_DAYS) % WEEK_DAYS;
}

/* The first day of the period so many periods before the one that begins on `from`. */
static day_number periods_before(const struct limit *limit, day_number from, int periods)
{
    day_number last;

    if (limit->period == PERIOD_DAY || limit->period == PERIOD_RUNNING_DAYS)
        return from - periods;
    if (limit->period == PERIOD_WEEK)
        return from - periods * WEEK_DAYS;
    if (!period_is_span(limit))
        return from;
    for (int i = 0; i < periods; i++)
        judge_period(limit, from - 1, &from, &last);

    return from;
}

void judge_reach(const struct limit *limit, day_number from, day_number to, day_number *first,
                 day_number *last)
{
    int before = limit->across_of > 1 ? limit->across_of - 1 : 0;

    *first = periods_before(limit, from, before);
    *last = to;
    if (limit->period == PERIOD_RUNNING_DAYS && limit->running_days > 1)
        *first -= limit->running_days - 1;
    if (limit->period == PERIOD_WEEK && limit->period_belongs != BELONGS_DAYS) {
        *first = period_week_first(limit, *first);
        *last = period_week_first(limit, to) + WEEK_DAYS - 1;
    }
    if (limit->period == PERIOD_DISCHARGE_RUN) {
        *first -= RUN_DAYS_MOST;
        *last += RUN_DAYS_MOST;
    }
}

size_t judge_samples_before(const struct limit *limit)
{
    size_t before = limit->across_of > 1 ? (size_t)limit->across_of - 1 : 0;

    if (limit->period != PERIOD_LAST_SAMPLES || limit->last_samples < 1)
        return 0;

    return (size_t)limit->last_samples - 1 + before;
}

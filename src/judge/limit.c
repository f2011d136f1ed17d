#include "judge/limit.h"

#include <string.h>

#include "base/str.h"
#include "judge/limit_statistic.h"
#include "stat/statistic.h"

const char *const limit_daily_words[] = {
    "every reading", "mean", "lowest", "highest", "total", "load", "flow-weighted mean", NULL};
const char *const limit_statistic_words[] = {"value",
                                             "mean",
                                             "geometric mean",
                                             "median",
                                             "minimum",
                                             "maximum",
                                             "sum",
                                             "percentile",
                                             "log-normal percentile",
                                             "count beyond",
                                             "share beyond",
                                             "flow-weighted mean",
                                             "hydrogen-ion mean",
                                             "greatest change",
                                             "greatest rate",
                                             "time outside",
                                             "longest time outside",
                                             NULL};
const char *const limit_period_words[] = {
    "each sample",  "day",          "month",        "week",          "quarter", "year",
    "licence year", "running days", "last samples", "discharge run", NULL};
const char *const less_than_words[] = {"not said",
                                       "zero",
                                       "half",
                                       "at the limit",
                                       "stated",
                                       "step below",
                                       "lower of half and half the bound",
                                       "Kaplan-Meier, rest at the smallest detect",
                                       "Kaplan-Meier, rest at the smallest limit",
                                       "regression on order statistics",
                                       "ranked",
                                       NULL};
const char *const greater_than_words[] = {"refused", "stated", "step above", NULL};
const char *const load_gap_words[] = {"left out", "period mean", NULL};
const char *const change_words[] = {"not said", "old", "new", NULL};
const char *const between_words[] = {
    "as reported",          "zero", "at detection", "half of detection", "at quantitation",
    "half of quantitation", NULL};
const char *const single_less_than_words[] = {"what it allows", "within", "by the rule", NULL};
const char *const alike_words[] = {"each by itself", "averaged first", NULL};
const char *const load_water_words[] = {"of the day", "while sampling", "mean of the period",
                                        "mean concentration times volume", NULL};
const char *const standing_rule_words[] = {"to the next", "half-way", "straight line", NULL};
const char *const belongs_words[] = {"where it began", "where it ended", "where most of it lies",
                                     "by its days",    "in both",        NULL};
const char *const against_words[] = {"difference", "percent removal", "intake credit", NULL};
const char *const pairing_words[] = {"same day", "nearest in time", "by residence time",
                                     "figures of the period", NULL};
const char *const deviation_words[] = {"sample", "population", NULL};
const char *const change_direction_words[] = {"either way", "rise", "fall", NULL};
const char *const tide_words[] = {"high water", "low water", NULL};

const struct statistic *limit_statistic_row(const struct limit *limit)
{
    return limit_statistic_of(limit);
}

bool limit_of_single_values(const struct limit *limit)
{
    const struct statistic *statistic = limit_statistic_row(limit);

    return (limit->daily == DAILY_EVERY || limit->daily == DAILY_MINIMUM ||
            limit->daily == DAILY_MAXIMUM) &&
           (limit->statistic == STATISTIC_VALUE || limit_counts_beyond(limit) ||
            (statistic && statistic->picks));
}

bool limit_counts_beyond(const struct limit *limit)
{
    return limit->statistic == STATISTIC_COUNT_BEYOND ||
           limit->statistic == STATISTIC_SHARE_BEYOND || limit_of_time(limit);
}

bool limit_of_time(const struct limit *limit)
{
    return limit->statistic == STATISTIC_TIME_OUTSIDE ||
           limit->statistic == STATISTIC_LONGEST_OUTSIDE;
}

bool limit_of_change(const struct limit *limit)
{
    return limit->statistic == STATISTIC_CHANGE || limit->statistic == STATISTIC_RATE;
}

bool limit_bound_by_other(const struct limit *limit)
{
    return limit->bound_by.kind != BOUND_NUMBER && limit->bound_by.kind != BOUND_STATE;
}

/* Lengths of time that have a word of their own. */
static const struct {
    int length_s;
    const char *one;
    const char *many;
} lengths[] = {
    {86400, "day", "days"},
    {3600, "hour", "hours"},
    {60, "minute", "minutes"},
    {1, "second", "seconds"},
};

char *limit_length_words(struct arena *mem, int length_s)
{
    for (size_t i = 0; i < ARRAY_LEN(lengths); i++) {
        int count = length_s / lengths[i].length_s;

        if (count == 0 || length_s % lengths[i].length_s != 0)
            continue;
        return arena_printf(mem, "%d %s", count, count == 1 ? lengths[i].one : lengths[i].many);
    }

    return arena_strdup(mem, "no time");
}

/* "minutes" of 60, "hour" of 3600. */
static const char *length_unit(int length_s, bool many)
{
    for (size_t i = 0; i < ARRAY_LEN(lengths); i++)
        if (lengths[i].length_s == length_s)
            return many ? lengths[i].many : lengths[i].one;

    return "";
}

char *limit_figure_unit(struct arena *mem, const struct limit *limit)
{
    const char *unit = limit->unit ? limit->unit : "";

    if (limit->against.kind == AGAINST_REMOVAL || limit->statistic == STATISTIC_SHARE_BEYOND)
        return arena_strdup(mem, "%");
    if (limit->statistic == STATISTIC_COUNT_BEYOND)
        return arena_strdup(mem, limit->daily == DAILY_EVERY ? "samples" : "days");
    if (limit_of_time(limit))
        return arena_strdup(mem, length_unit(limit->settings.time_unit_s, true));
    if (limit->statistic == STATISTIC_RATE)
        return arena_printf(mem, "%s per %s", unit, length_unit(limit->settings.rate_per_s, false));

    return arena_strdup(mem, unit);
}

const char *limit_station(const struct limit *limit, size_t place)
{
    if (place == 0)
        return limit->station;

    return place <= limit->added_count ? limit->added[place - 1].station
                                       : limit->against.place.station;
}

char *limit_figure_unit_of(struct arena *mem, const struct limit *limit, const char *number)
{
    char *unit = limit_figure_unit(mem, limit);
    bool counted = limit->statistic == STATISTIC_COUNT_BEYOND || limit_of_time(limit);

    if (counted && limit->against.kind != AGAINST_REMOVAL && str_equal(number, "1"))
        unit[strlen(unit) - 1] = '\0';

    return unit;
}

/*
 * Drawn: limits and results drawn at random from a stated number, for properties that hold of every
 * case. Values lie about the bound of 30 on purpose, so that verdicts turn on them. The same number
 * draws the same case, and a case that fails is printed as it was.
 */
#ifndef JUDGE_DRAWN_H
#define JUDGE_DRAWN_H

#include "judge/given.h"

#include "base/buf.h"

#include <inttypes.h>
#include <limits.h>
#include <stdlib.h>

enum { DRAWN_MOST = 40 };

struct drawn_result {
    int day; /* of March 2026 */
    int minute;
    char qualifier;
    struct decimal value; /* mg/L; scale at most 2 */
    bool doubt;
    bool check;
    int sample; /* several of one number are portions */
};

struct drawn {
    uint64_t number; /* the case */
    uint64_t state;
    struct limit limit;
    struct drawn_result results[DRAWN_MOST];
    size_t count;
};

/* A number from 0 to below `below` (SplitMix64, G. Steele et al. 2014). */
static inline int drawn_int(struct drawn *drawn, int below)
{
    uint64_t mixed = drawn->state += 0x9e3779b97f4a7c15u;

    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9u;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebu;

    return (int)((mixed ^ (mixed >> 31)) % (uint64_t)below);
}

static inline bool drawn_one_in(struct drawn *drawn, int many)
{
    return drawn_int(drawn, many) == 0;
}

#define DRAW(drawn, choices) ((choices)[drawn_int(drawn, (int)ARRAY_LEN(choices))])

/* Above 0, often at the bound of 30 or next to it. */
static inline struct decimal drawn_value(struct drawn *drawn)
{
    static const struct decimal near[] = {{30, 0},   {300, 1},  {301, 1}, {299, 1}, {3000, 2},
                                          {3049, 2}, {3050, 2}, {31, 0},  {29, 0}};
    static const int64_t most[] = {30, 60, 100, 3000};

    if (drawn_one_in(drawn, 3))
        return DRAW(drawn, near);

    return (struct decimal){1 + drawn_int(drawn, (int)DRAW(drawn, most)),
                            (uint8_t)drawn_int(drawn, 3)};
}

static inline struct drawn_result drawn_result(struct drawn *drawn)
{
    static const int minutes[] = {0, 540, 540, 720, 721, 900, 1439};
    struct drawn_result result = {
        .day = 1 + drawn_int(drawn, 31),
        .minute = DRAW(drawn, minutes),
        .qualifier = QUALIFIER_NONE,
        .value = drawn_value(drawn),
        .sample = 1 + drawn_int(drawn, 12),
    };

    if (drawn_one_in(drawn, 4))
        result.qualifier = QUALIFIER_LESS;
    else if (drawn_one_in(drawn, 20))
        result.qualifier = QUALIFIER_GREATER;
    else if (drawn_one_in(drawn, 40))
        result.qualifier = QUALIFIER_NOT_DETECTED;
    result.doubt = drawn_one_in(drawn, 8);
    result.check = drawn_one_in(drawn, 20);

    return result;
}

static inline struct limit_bound drawn_bound(struct drawn *drawn, bool upper_only)
{
    struct limit_bound bound = {.has_ceiling = true,
                                .ceiling = {30, 0},
                                .ceiling_reached_is_outside = drawn_one_in(drawn, 2),
                                .floor = {20, 0},
                                .floor_reached_is_outside = drawn_one_in(drawn, 2)};

    if (upper_only || drawn_one_in(drawn, 2))
        return bound;
    bound.has_floor = true;
    bound.has_ceiling = drawn_one_in(drawn, 2);
    if (!bound.has_ceiling)
        bound.floor = bound.ceiling;

    return bound;
}

static inline struct rounding drawn_rounding(struct drawn *drawn)
{
    static const struct rounding roundings[] = {
        {ROUND_NONE, ROUND_TO_DECIMALS, 0},     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0},
        {ROUND_HALF_UP, ROUND_TO_DECIMALS, 1},  {ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0},
        {ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2},
    };

    return DRAW(drawn, roundings);
}

static inline void drawn_less_thans(struct drawn *drawn, struct limit *limit)
{
    limit->less_than = (enum less_than_rule)drawn_int(drawn, LESS_THAN_RANKED + 1);
    limit->less_than_stated = (struct decimal){7, 0};
    limit->single_less_than = drawn_one_in(drawn, 3)
                                  ? (enum single_less_than)drawn_int(drawn, SINGLE_BY_RULE + 1)
                                  : SINGLE_AS_ALLOWED;
    limit->beyond_by_rule = drawn_one_in(drawn, 4);
    limit->largest_if_all = drawn_one_in(drawn, 4);
    limit->greater_than = drawn_one_in(drawn, 2) ? GREATER_THAN_STEP : GREATER_THAN_REFUSED;
}

/* What a statistic needs beside its name. */
static inline void drawn_settings(struct drawn *drawn, struct limit *limit)
{
    static const char *const rules[] = {"type 1",  "type 2", "type 3",    "nearest rank", "Hazen",
                                        "Weibull", "Blom",   "inclusive", "type 8"};
    static const struct decimal percents[] = {{50, 0}, {80, 0}, {90, 0}, {95, 0}, {25, 0}};

    if (limit->statistic == STATISTIC_PERCENTILE) {
        limit->settings.percent = DRAW(drawn, percents);
        limit->settings.percentile_rule = DRAW(drawn, rules);
    }
    if (limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE) {
        limit->settings.z = (struct decimal){1282, 3};
        limit->settings.deviation =
            drawn_one_in(drawn, 2) ? DEVIATION_SAMPLE : DEVIATION_POPULATION;
    }
    if (limit->statistic == STATISTIC_COUNT_BEYOND || limit->statistic == STATISTIC_SHARE_BEYOND) {
        limit->settings.beyond = (struct limit_beyond){
            .has_above = true, .above = {30, 0}, .above_reached_counts = drawn_one_in(drawn, 2)};
        limit->bound.ceiling = limit->statistic == STATISTIC_COUNT_BEYOND ? (struct decimal){2, 0}
                                                                          : (struct decimal){25, 0};
        limit->bound.floor =
            limit->bound.has_ceiling ? (struct decimal){0, 0} : limit->bound.ceiling;
    }
}

static inline void drawn_period(struct drawn *drawn, struct limit *limit)
{
    static const enum limit_period periods[] = {
        PERIOD_MONTH,        PERIOD_MONTH,        PERIOD_DAY,        PERIOD_WEEK,
        PERIOD_RUNNING_DAYS, PERIOD_LAST_SAMPLES, PERIOD_EACH_SAMPLE};

    limit->period = DRAW(drawn, periods);
    limit->running_days = 7;
    limit->last_samples = 4;
    limit->period_belongs = limit->period == PERIOD_WEEK ? BELONGS_BOTH : BELONGS_UNSET;
    if (limit->period != PERIOD_RUNNING_DAYS)
        limit->running_days = 0;
    if (limit->period != PERIOD_LAST_SAMPLES)
        limit->last_samples = 0;
}

/* A limit of one of the statistics, which makes sense; false: this draw does not. */
static inline bool drawn_limit(struct drawn *drawn, const struct limit *like,
                               const enum limit_statistic *statistics, size_t count,
                               bool upper_only)
{
    static const enum limit_daily dailies[] = {DAILY_EVERY, DAILY_EVERY, DAILY_MEAN, DAILY_MINIMUM,
                                               DAILY_MAXIMUM};
    struct limit limit = *like;

    limit.statistic = statistics[drawn_int(drawn, (int)count)];
    limit.daily = DRAW(drawn, dailies);
    limit.bound = drawn_bound(drawn, upper_only);
    limit.rounding = drawn_rounding(drawn);
    limit.replicates = drawn_one_in(drawn, 3) ? ALIKE_AVERAGED : ALIKE_EACH;
    limit.least_samples = drawn_one_in(drawn, 3) ? 1 + drawn_int(drawn, 6) : 0;
    drawn_period(drawn, &limit);
    drawn_less_thans(drawn, &limit);
    drawn_settings(drawn, &limit);
    if (limit.statistic == STATISTIC_VALUE && drawn_one_in(drawn, 4))
        limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1};
    if (limit_refuse(&limit, false, false, false))
        return false;
    drawn->limit = limit;

    return true;
}

static inline void drawn_results(struct drawn *drawn, int most)
{
    drawn->count = (size_t)drawn_int(drawn, most + 1);
    for (size_t i = 0; i < drawn->count; i++)
        drawn->results[i] = drawn_result(drawn);
}

/* Case `number` of a property: limit and results. */
static inline struct drawn drawn_case(uint64_t number, const struct limit *like,
                                      const enum limit_statistic *statistics, size_t count,
                                      bool upper_only)
{
    struct drawn drawn = {.number = number, .state = number * 0x632be59bd9b4e019u + 1};

    while (!drawn_limit(&drawn, like, statistics, count, upper_only))
        continue;
    drawn_results(&drawn, 16);

    return drawn;
}

/* --- into evidence --------------------------------------------------------------------------- */

/* mg/L in another unit, with digits that say the same. */
struct drawn_unit {
    const char *name;
    int64_t times;
    int more_decimals;
};

static inline struct decimal drawn_in(struct decimal value, const struct drawn_unit *unit)
{
    return (struct decimal){value.coefficient * unit->times,
                            (uint8_t)(value.scale + unit->more_decimals)};
}

static inline int drawn_by_time(const void *a, const void *b)
{
    const struct drawn_result *left = *(const struct drawn_result *const *)a;
    const struct drawn_result *right = *(const struct drawn_result *const *)b;
    int before = left->day * 1440 + left->minute;
    int after = right->day * 1440 + right->minute;

    return before != after ? (before > after) - (before < after) : (left > right) - (left < right);
}

/* In order of time; of one instant in the order they are in, or backwards. */
static inline void drawn_fill(struct given *given, const struct drawn *drawn,
                              const struct drawn_unit *unit, bool backwards)
{
    static const struct drawn_unit as_is = {"mg/L", 1, 0};
    const struct drawn_result *sorted[DRAWN_MOST];
    size_t series;

    given_again(given);
    given->limit = drawn->limit;
    series = given_series(given, given->limit.station, given->limit.parameter, KIND_GRAB);
    unit = unit ? unit : &as_is;
    for (size_t i = 0; i < drawn->count; i++)
        sorted[i] = &drawn->results[i];
    qsort(sorted, drawn->count, sizeof(*sorted), drawn_by_time);
    for (size_t first = 0, after; backwards && first < drawn->count; first = after) {
        for (after = first + 1; after < drawn->count && sorted[after]->day == sorted[first]->day &&
                                sorted[after]->minute == sorted[first]->minute;)
            after++;
        for (size_t i = 0; i < (after - first) / 2; i++) {
            const struct drawn_result *kept = sorted[first + i];

            sorted[first + i] = sorted[after - 1 - i];
            sorted[after - 1 - i] = kept;
        }
    }
    for (size_t i = 0; i < drawn->count; i++) {
        const struct drawn_result *result = sorted[i];
        instant at = given_at("2026-03-01T00:00:00Z") + (result->day - 1) * DAY_US +
                     result->minute * 60 * SECOND_US;
        struct evidence_reading *reading = given_add(given, series, at, "0", unit->name);

        reading->qualifier = result->qualifier;
        reading->reported = drawn_in(result->value, unit);
        reading->doubt = result->doubt ? "calibration overdue" : NULL;
        reading->counts = !result->check;
        reading->sample = arena_printf(given->mem, "S%02d", result->sample);
    }
}

/* --- what failed ----------------------------------------------------------------------------- */

static inline char *drawn_text(struct arena *mem, const struct drawn *drawn)
{
    struct buf text = buf_new(mem);

    buf_addf(
        &text, "case %" PRIu64 ": %s, each day %s, less-thans %s, rounding %d/%d/%d, least %d:",
        drawn->number, limit_words(mem, &drawn->limit), limit_daily_words[drawn->limit.daily],
        less_than_words[drawn->limit.less_than], (int)drawn->limit.rounding.rule,
        (int)drawn->limit.rounding.to, drawn->limit.rounding.digits, drawn->limit.least_samples);
    for (size_t i = 0; i < drawn->count; i++) {
        const struct drawn_result *result = &drawn->results[i];

        buf_addf(
            &text, " %d/%02d:%02d:%s%s%s%s", result->day, result->minute / 60, result->minute % 60,
            result->qualifier == QUALIFIER_NOT_DETECTED ? "n"
            : result->qualifier == QUALIFIER_LESS       ? "<"
            : result->qualifier == QUALIFIER_GREATER    ? ">"
                                                        : "",
            decimal_text(mem, result->value), result->doubt ? "?" : "", result->check ? "#" : "");
    }

    return text.data;
}

#endif

/*
 * Drawn: limits and results drawn at random from a stated number, for properties that hold of every
 * case. Values lie about the bound of 30 on purpose, so that verdicts turn on them. The same number
 * draws the same case, and a case that fails is printed as it was.
 */
#ifndef JUDGE_DRAWN_H
#define JUDGE_DRAWN_H

#include "judge/given.h"

#include "base/buf.h"
#include "judge/limit_refusal.h"

#include <inttypes.h>
#include <limits.h>
#include <stdlib.h>

enum { DRAWN_MOST = 64, DRAWN_ALIKE_MOST = 4 };

struct drawn_result {
    int day; /* of March 2026; -6 to 36, as weeks reach beyond it */
    int minute;
    char qualifier;
    struct decimal value; /* mg/L, of pH ten times it, of a flow L/s; scale at most 2 */
    bool doubt;
    bool check;
    int sample; /* several of one number are portions */
};

struct drawn {
    uint64_t number; /* the case */
    uint64_t state;
    bool calm; /* few results in doubt, less-thans and values beyond 30 */
    struct limit limit;
    struct drawn_result results[DRAWN_MOST];
    size_t count;
    struct drawn_result flows[DRAWN_MOST]; /* at the same place */
    size_t flow_count;
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

    if (drawn->calm && !drawn_one_in(drawn, 40))
        result.value = (struct decimal){1 + drawn_int(drawn, 300), 1};
    if (drawn_one_in(drawn, drawn->calm ? 40 : 4))
        result.qualifier = QUALIFIER_LESS;
    else if (drawn_one_in(drawn, drawn->calm ? 400 : 20))
        result.qualifier = QUALIFIER_GREATER;
    else if (drawn_one_in(drawn, drawn->calm ? 400 : 40))
        result.qualifier = QUALIFIER_NOT_DETECTED;
    result.doubt = drawn_one_in(drawn, drawn->calm ? 80 : 8);
    result.check = drawn_one_in(drawn, 20);

    return result;
}

/* One a day, as a probe that is read daily or water that is metered, now and then none. */
static inline size_t drawn_each_day(struct drawn *drawn, struct drawn_result *results, bool flow)
{
    static const struct decimal flows[] = {{0, 0}, {1, 0}, {1, 0}, {2, 0}, {15, 1}};
    int dropped = drawn_one_in(drawn, 2) ? 12 : 400;
    int minute = drawn_one_in(drawn, 2) ? 0 : 540;
    size_t count = 0;

    for (int day = -6; day <= 36; day++) {
        struct drawn_result result = drawn_result(drawn);

        result.day = day;
        result.minute = minute;
        if (flow)
            result.value = DRAW(drawn, flows);
        if (flow || drawn_one_in(drawn, 2))
            result.qualifier = QUALIFIER_NONE;
        result.doubt = drawn_one_in(drawn, drawn->calm ? 400 : 40);
        result.check = false;
        if (!drawn_one_in(drawn, dropped))
            results[count++] = result;
    }

    return count;
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
    if (drawn->calm)
        bound.floor = (struct decimal){5, 1};
    else if (!bound.has_ceiling)
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

static inline void drawn_of_time(struct drawn *drawn, struct limit *limit)
{
    static const int spans[] = {43200, 86400, 259200};
    static const int stands[] = {0, 259200, 2678400}; /* of the longest no step is a gap */
    static const struct decimal hours[] = {{24, 0}, {480, 1}, {168, 0}};

    if (limit_of_change(limit)) {
        limit->settings.change_direction = (enum change_direction)drawn_int(drawn, 3);
        if (limit->statistic == STATISTIC_CHANGE) {
            limit->settings.change_span_s = DRAW(drawn, spans);
            limit->reading_stands_s = DRAW(drawn, stands);
        }
        if (limit->statistic == STATISTIC_RATE)
            limit->settings.rate_per_s = DRAW(drawn, spans);
    }
    if (limit_of_time(limit)) {
        limit->kinds = KIND_PROBE;
        limit->reading_stands_s = DRAW(drawn, spans);
        limit->standing_rule = (enum standing_rule)drawn_int(drawn, STANDS_STRAIGHT_LINE + 1);
        limit->settings.time_unit_s = 3600;
        limit->settings.beyond = (struct limit_beyond){
            .has_above = true, .above = {30, 0}, .above_reached_counts = drawn_one_in(drawn, 2)};
        limit->bound.ceiling = DRAW(drawn, hours);
        limit->bound.floor =
            limit->bound.has_ceiling ? (struct decimal){0, 0} : (struct decimal){12, 0};
    }
}

/* 30 mg/L and 1 L/s, which is 86.4 m3 a day, are 2.592 kg a day. */
static inline void drawn_with_water(struct drawn *drawn, struct limit *limit)
{
    static const struct decimal loads_kg[] = {{2592, 3}, {18144, 3}, {100, 0}};
    static const struct decimal volumes_m3[] = {{864, 1}, {6048, 1}, {3000, 0}};
    bool sum = limit->statistic == STATISTIC_SUM;
    int most = drawn->calm ? 2 : drawn_int(drawn, 3);

    if (sum && drawn_one_in(drawn, 3)) {
        limit->daily = DAILY_TOTAL;
        limit->parameter = "flow";
        limit->unit = "m3";
        limit->reading_stands_s = 86400;
        limit->flow = (struct limit_flow){.station = NULL};
    } else if (sum || drawn_one_in(drawn, 3)) {
        limit->daily = DAILY_LOAD;
        limit->unit = "kg/day";
        limit->load_water = (enum load_water)drawn_int(drawn, LOAD_MEAN_TIMES_VOLUME + 1);
        limit->load_gap = drawn_one_in(drawn, 2) ? LOAD_GAP_PERIOD_MEAN : LOAD_GAP_LEFT_OUT;
    } else if (drawn_one_in(drawn, 5)) {
        limit->daily = DAILY_FLOW_WEIGHTED_MEAN;
    } else if (limit->statistic != STATISTIC_FLOW_WEIGHTED_MEAN) {
        limit->flow = (struct limit_flow){.station = NULL};
    }
    if (!limit_counts_beyond(limit) && limit_adds_up(limit)) {
        limit->bound.ceiling = limit->daily == DAILY_TOTAL ? volumes_m3[most] : loads_kg[most];
        limit->bound.floor =
            limit->bound.has_ceiling ? (struct decimal){1, 0} : limit->bound.ceiling;
    }
}

static inline bool drawn_is_ph(const struct limit *limit)
{
    return limit->statistic == STATISTIC_HYDROGEN_ION_MEAN;
}

/* The unit that results are drawn in. */
static inline const char *drawn_unit_name(const struct limit *limit)
{
    return drawn_is_ph(limit) ? "pH" : limit->daily == DAILY_TOTAL ? "L/s" : "mg/L";
}

/* From mg/L about 30 to pH about 3. */
static inline void drawn_as_ph(struct limit *limit)
{
    limit->parameter = "ph";
    limit->unit = "pH";
    limit->bound.ceiling.scale++;
    limit->bound.floor.scale++;
    limit->less_than_stated.scale++;
}

static inline void drawn_period(struct drawn *drawn, struct limit *limit)
{
    static const enum limit_period periods[] = {
        PERIOD_MONTH,        PERIOD_MONTH,        PERIOD_DAY,        PERIOD_WEEK,
        PERIOD_RUNNING_DAYS, PERIOD_LAST_SAMPLES, PERIOD_EACH_SAMPLE};

    limit->period = drawn->calm && drawn_one_in(drawn, 2) ? PERIOD_MONTH : DRAW(drawn, periods);
    limit->running_days = 7;
    limit->last_samples = 4;
    limit->period_belongs = limit->period == PERIOD_WEEK ? BELONGS_BOTH : BELONGS_UNSET;
    if (limit->period != PERIOD_RUNNING_DAYS)
        limit->running_days = 0;
    if (limit->period != PERIOD_LAST_SAMPLES)
        limit->last_samples = 0;
}

/*
 * A limit of one of the statistics, which makes sense; false: this draw does not. Loads and the
 * like are drawn where `like` names a flow.
 */
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
    limit.least_samples = drawn_one_in(drawn, drawn->calm ? 12 : 3) ? 1 + drawn_int(drawn, 6) : 0;
    drawn_period(drawn, &limit);
    drawn_less_thans(drawn, &limit);
    drawn_settings(drawn, &limit);
    drawn_of_time(drawn, &limit);
    if (limit.flow.station)
        drawn_with_water(drawn, &limit);
    if (drawn_is_ph(&limit))
        drawn_as_ph(&limit);
    if (limit.kinds == KIND_PROBE)
        limit.side_by_side = limit.replicates;
    if (limit.statistic == STATISTIC_VALUE && drawn_one_in(drawn, 4))
        limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1};
    if (limit_refuse(&limit, false, false, drawn_is_ph(&limit)))
        return false;
    drawn->limit = limit;

    return true;
}

static inline void drawn_results(struct drawn *drawn, int most)
{
    const struct limit *limit = &drawn->limit;
    bool daily = limit->kinds == KIND_PROBE || (limit_adds_up(limit) && drawn_one_in(drawn, 2));

    if (limit->flow.station || limit->daily == DAILY_TOTAL)
        drawn->flow_count = drawn_each_day(drawn, drawn->flows, true);
    if (limit->daily == DAILY_TOTAL)
        return;
    if (daily)
        drawn->count = drawn_each_day(drawn, drawn->results, false);
    for (int more = drawn_int(drawn, daily ? 4 : most + 1); more > 0; more--)
        drawn->results[drawn->count++] = drawn_result(drawn);
}

/* Case `number` of a property: limit and results. */
static inline struct drawn drawn_case(uint64_t number, const struct limit *like,
                                      const enum limit_statistic *statistics, size_t count,
                                      bool upper_only)
{
    struct drawn drawn = {.number = number, .state = number * 0x632be59bd9b4e019u + 1};
    const enum limit_statistic *statistic = &statistics[drawn_int(&drawn, (int)count)];

    drawn.calm = drawn_one_in(&drawn, 2);
    while (!drawn_limit(&drawn, like, statistic, 1, upper_only))
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
    const struct drawn_unit *flow; /* beside it, L/s in another one; NULL: as it is */
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

/* Those of one instant the other way round. */
static inline void drawn_turn(const struct drawn_result **sorted, size_t count)
{
    for (size_t first = 0, after; first < count; first = after) {
        for (after = first + 1; after < count && sorted[after]->day == sorted[first]->day &&
                                sorted[after]->minute == sorted[first]->minute;)
            after++;
        for (size_t i = 0; i < (after - first) / 2; i++) {
            const struct drawn_result *kept = sorted[first + i];

            sorted[first + i] = sorted[after - 1 - i];
            sorted[after - 1 - i] = kept;
        }
    }
}

/* How many stand before this one at its instant. */
static inline size_t drawn_nth(const struct drawn_result *const *sorted, size_t at)
{
    size_t nth = 0;

    while (nth < at && sorted[at - nth - 1]->day == sorted[at]->day &&
           sorted[at - nth - 1]->minute == sorted[at]->minute)
        nth++;

    return nth;
}

static inline void drawn_add(struct given *given, size_t series, const struct drawn_result *result,
                             const struct drawn_unit *unit)
{
    instant at = given_at("2026-03-01T00:00:00Z") + (result->day - 1) * DAY_US +
                 result->minute * 60 * SECOND_US;
    struct evidence_reading *reading = given_add(given, series, at, "0", unit->name);

    reading->qualifier = result->qualifier;
    reading->reported = drawn_in(result->value, unit);
    reading->doubt = result->doubt ? "calibration overdue" : NULL;
    reading->counts = !result->check;
    if (given->series[series].kind == KIND_GRAB)
        reading->sample = arena_printf(given->mem, "S%02d", result->sample);
}

/*
 * In order of time. Samples of one instant are in the order they are in, or backwards; probes of
 * one instant are instruments side by side, of which the last comes first when backwards.
 */
static inline void drawn_fill_series(struct given *given, const struct drawn_result *results,
                                     size_t count, const char *parameter, unsigned kind,
                                     const struct drawn_unit *unit, bool backwards)
{
    const struct drawn_result *sorted[DRAWN_MOST];
    size_t first = given->evidence.series_count;
    size_t last = 0;

    for (size_t i = 0; i < count; i++)
        sorted[i] = &results[i];
    qsort(sorted, count, sizeof(*sorted), drawn_by_time);
    if (backwards && kind == KIND_GRAB)
        drawn_turn(sorted, count);
    for (size_t i = 0; i < count && kind == KIND_PROBE; i++) {
        size_t nth = drawn_nth(sorted, i);

        last = nth > last ? nth : last;
    }
    assert_true(last < DRAWN_ALIKE_MOST);
    for (size_t i = 0; i <= last; i++)
        given_series(given, given->limit.station, parameter, kind);
    for (size_t i = 0; i < count; i++) {
        size_t nth = kind == KIND_PROBE ? drawn_nth(sorted, i) : 0;

        drawn_add(given, first + (backwards ? last - nth : nth), sorted[i], unit);
    }
}

/* `unit` NULL: as drawn. pH has one unit only. */
static inline void drawn_fill(struct given *given, const struct drawn *drawn,
                              const struct drawn_unit *unit, bool backwards)
{
    static const struct drawn_unit as_is = {"mg/L", 1, 0, NULL};
    static const struct drawn_unit flow_as_is = {"L/s", 1, 0, NULL};
    static const struct drawn_unit ph = {"pH", 1, 1, NULL};
    const struct limit *limit = &drawn->limit;
    const struct drawn_unit *flow_unit = unit && unit->flow ? unit->flow : &flow_as_is;

    given_again(given);
    given->limit = *limit;
    if (drawn_is_ph(limit))
        unit = &ph;
    if (limit->daily != DAILY_TOTAL)
        drawn_fill_series(given, drawn->results, drawn->count, limit->parameter,
                          limit->kinds == KIND_PROBE ? KIND_PROBE : KIND_GRAB, unit ? unit : &as_is,
                          backwards);
    if (drawn->flow_count > 0)
        drawn_fill_series(given, drawn->flows, drawn->flow_count, "flow", KIND_PROBE, flow_unit,
                          backwards);
}

/* --- what failed ----------------------------------------------------------------------------- */

static inline void drawn_write(struct buf *text, const struct drawn_result *results, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct drawn_result *result = &results[i];

        buf_addf(text, " %d/%02d:%02d:%s%s%s%s", result->day, result->minute / 60,
                 result->minute % 60,
                 result->qualifier == QUALIFIER_NOT_DETECTED ? "n"
                 : result->qualifier == QUALIFIER_LESS       ? "<"
                 : result->qualifier == QUALIFIER_GREATER    ? ">"
                                                             : "",
                 decimal_text(text->mem, result->value), result->doubt ? "?" : "",
                 result->check ? "#" : "");
    }
}

static inline char *drawn_text(struct arena *mem, const struct drawn *drawn)
{
    struct buf text = buf_new(mem);

    buf_addf(
        &text, "case %" PRIu64 ": %s, each day %s, less-thans %s, rounding %d/%d/%d, least %d:",
        drawn->number, limit_words(mem, &drawn->limit), limit_daily_words[drawn->limit.daily],
        less_than_words[drawn->limit.less_than], (int)drawn->limit.rounding.rule,
        (int)drawn->limit.rounding.to, drawn->limit.rounding.digits, drawn->limit.least_samples);
    drawn_write(&text, drawn->results, drawn->count);
    if (drawn->flow_count > 0)
        buf_addf(&text, "; flow in L/s:");
    drawn_write(&text, drawn->flows, drawn->flow_count);

    return text.data;
}

#endif

#include "judge/limit.h"

#include "base/buf.h"
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

/* What is known of a limit's parameter, beside the limit. */
struct subject {
    const struct limit *limit;
    bool is_counter;
    bool is_state;
    bool is_ph;
};

static int sign(struct decimal value)
{
    return (value.coefficient > 0) - (value.coefficient < 0);
}

static bool adds_up(const struct limit *limit)
{
    return limit->daily == DAILY_TOTAL || limit->daily == DAILY_LOAD;
}

static bool averages(const struct limit *limit)
{
    return limit->daily == DAILY_MEAN || limit->daily == DAILY_LOAD ||
           limit->statistic == STATISTIC_MEAN || limit->statistic == STATISTIC_GEOMETRIC_MEAN ||
           limit->statistic == STATISTIC_SUM;
}

static bool of_samples_only(const struct limit *limit)
{
    return limit->kinds != 0 && (limit->kinds & (KIND_PROBE | KIND_BY_HAND)) == 0;
}

/* A rule says whether the combination makes no sense. */

static bool state(const struct subject *subject)
{
    return subject->is_state;
}

static bool no_bound(const struct subject *subject)
{
    return !subject->limit->bound.has_ceiling && !subject->limit->bound.has_floor;
}

/* No figure could keep both. */
static bool bounds_crossed(const struct subject *subject)
{
    const struct limit_bound *bound = &subject->limit->bound;

    if (!bound->has_ceiling || !bound->has_floor)
        return false;

    int order = decimal_compare(bound->floor, bound->ceiling);

    return order > 0 ||
           (order == 0 && (bound->floor_reached_is_outside || bound->ceiling_reached_is_outside));
}

static bool ph_averaged(const struct subject *subject)
{
    return subject->is_ph && averages(subject->limit);
}

static bool sample_with_statistic(const struct subject *subject)
{
    return subject->limit->period == PERIOD_EACH_SAMPLE &&
           subject->limit->statistic != STATISTIC_VALUE;
}

static bool sample_with_daily(const struct subject *subject)
{
    return subject->limit->period == PERIOD_EACH_SAMPLE && subject->limit->daily != DAILY_EVERY;
}

static bool statistic_of_one_figure(const struct subject *subject)
{
    return subject->limit->period == PERIOD_DAY && subject->limit->daily != DAILY_EVERY &&
           subject->limit->statistic != STATISTIC_VALUE;
}

static bool counter_not_differenced(const struct subject *subject)
{
    return subject->is_counter && subject->limit->daily != DAILY_TOTAL;
}

static bool sum_of_concentrations(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_SUM && !adds_up(subject->limit);
}

static bool load_without_flow(const struct subject *subject)
{
    const struct limit_flow *flow = &subject->limit->flow;

    return subject->limit->daily == DAILY_LOAD &&
           (str_empty(flow->station) || str_empty(flow->parameter));
}

static bool flow_without_load(const struct subject *subject)
{
    return subject->limit->daily != DAILY_LOAD &&
           (subject->limit->flow.station || subject->limit->flow.parameter ||
            subject->limit->load_factor);
}

static bool factor_without_units(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->load_factor &&
           (str_empty(limit->load_flow_unit) || str_empty(limit->load_concentration_unit));
}

static bool factor_unreadable(const struct subject *subject)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = subject->limit->load_factor;
    const struct exact *factor = text ? exact_from_text(mem, text) : NULL;

    return text && (!factor || exact_sign(factor) <= 0);
}

static bool load_gap_in_a_day(const struct subject *subject)
{
    return subject->limit->load_gap == LOAD_GAP_PERIOD_MEAN &&
           (subject->limit->daily != DAILY_LOAD || subject->limit->period != PERIOD_MONTH);
}

static bool geometric_mean_of_zero(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->statistic == STATISTIC_GEOMETRIC_MEAN &&
           (limit->less_than == LESS_THAN_ZERO ||
            (limit->less_than == LESS_THAN_STATED && sign(limit->less_than_stated) <= 0));
}

static bool stated_below_zero(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->less_than == LESS_THAN_STATED && sign(limit->less_than_stated) < 0;
}

static bool samples_below_zero(const struct subject *subject)
{
    return subject->limit->least_samples < 0;
}

static bool coverage_beyond_all(const struct subject *subject)
{
    static const struct decimal all = {100, 0};
    struct decimal least = subject->limit->least_coverage;

    return sign(least) < 0 || decimal_compare(least, all) > 0;
}

static bool coverage_of_samples(const struct subject *subject)
{
    return sign(subject->limit->least_coverage) > 0 && of_samples_only(subject->limit);
}

static bool coverage_without_standing(const struct subject *subject)
{
    return sign(subject->limit->least_coverage) > 0 && !adds_up(subject->limit) &&
           subject->limit->reading_stands_s == 0;
}

static bool standing_below_zero(const struct subject *subject)
{
    return subject->limit->reading_stands_s < 0;
}

static bool margin_of_nothing(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->margin != MARGIN_NONE && sign(limit->margin_amount) <= 0;
}

static bool margin_share_of_zero(const struct subject *subject)
{
    const struct limit *limit = subject->limit;
    const struct limit_bound *bound = &limit->bound;

    return limit->margin == MARGIN_SHARE && ((bound->has_ceiling && sign(bound->ceiling) == 0) ||
                                             (bound->has_floor && sign(bound->floor) == 0));
}

static bool rounding_digits_unusable(const struct subject *subject)
{
    const struct rounding *rounding = &subject->limit->rounding;

    if (rounding->rule == ROUND_NONE)
        return false;
    if (rounding->to == ROUND_TO_FIGURES)
        return rounding->digits < 1 || rounding->digits > DECIMAL_DIGITS_MOST;

    return rounding->digits < -DECIMAL_DIGITS_MOST || rounding->digits > DECIMAL_DIGITS_MOST;
}

static bool bounds_of_different_digits(const struct subject *subject)
{
    const struct limit *limit = subject->limit;
    const struct limit_bound *bound = &limit->bound;

    if (!limit->rounding_to_bound || !bound->has_ceiling || !bound->has_floor)
        return false;
    if (limit->rounding.to == ROUND_TO_FIGURES)
        return decimal_significant_figures(bound->ceiling) !=
               decimal_significant_figures(bound->floor);

    return bound->ceiling.scale != bound->floor.scale;
}

static bool hour_not_of_a_day(const struct subject *subject)
{
    return subject->limit->day_starts_hour < 0 || subject->limit->day_starts_hour > 23;
}

static bool dates_crossed(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->in_force_to != DAY_NONE && limit->in_force_to < limit->in_force_from;
}

static const struct {
    bool (*applies)(const struct subject *subject);
    const char *why;
} refusals[] = {
    {state, "the words of a state can't be compared with a bound"},
    {no_bound, "there is no bound to keep"},
    {bounds_crossed, "no figure could keep both bounds"},
    {ph_averaged, "pH is never averaged: it is a logarithm"},
    {sample_with_statistic, "each sample is judged by itself, so the statistic must be 'value'"},
    {sample_with_daily, "each sample is judged by itself: what is made of a day first is judged "
                        "by the day or the month"},
    {statistic_of_one_figure, "the day already has one figure, so the statistic must be 'value'"},
    {counter_not_differenced, "a meter only runs up: only its daily total can be limited"},
    {sum_of_concentrations, "only daily totals and loads can be added up"},
    {load_without_flow, "a load needs the station and the parameter of its flow"},
    {flow_without_load, "a flow and a factor belong to a daily load only"},
    {factor_without_units, "a stated factor needs the units of flow and concentration it is for"},
    {factor_unreadable, "the factor of the load must be a number above 0"},
    {load_gap_in_a_day, "the mean of the period can only stand in for missing results in a "
                        "monthly figure of daily loads"},
    {geometric_mean_of_zero, "a geometric mean has no answer for 0, so a less-than can't stand "
                             "for it"},
    {stated_below_zero, "the number stated for less-thans is below 0"},
    {samples_below_zero, "the least number of samples is below 0"},
    {coverage_beyond_all, "the least coverage must lie between 0 and 100 percent"},
    {coverage_of_samples, "samples cover no time: coverage can only be asked of a probe"},
    {coverage_without_standing, "coverage needs how long a reading stands"},
    {standing_below_zero, "how long a reading stands is below 0"},
    {margin_of_nothing, "the margin must be above 0"},
    {margin_share_of_zero, "a share of a bound of 0 is 0: give the margin as an amount"},
    {rounding_digits_unusable, "figures are rounded to 1 to 18 figures, or to -18 to 18 decimals"},
    {bounds_of_different_digits, "the bounds are written with different digits: say how to "
                                 "round"},
    {hour_not_of_a_day, "a day starts at an hour from 0 to 23"},
    {dates_crossed, "it would end before it begins"},
};

const char *limit_refuse(const struct limit *limit, bool is_counter, bool is_state, bool is_ph)
{
    const struct subject subject = {limit, is_counter, is_state, is_ph};

    for (size_t i = 0; i < ARRAY_LEN(refusals); i++)
        if (refusals[i].applies(&subject))
            return refusals[i].why;

    return NULL;
}

const struct statistic *limit_statistic_row(const struct limit *limit)
{
    return limit_statistic_of(limit);
}

bool limit_of_single_values(const struct limit *limit)
{
    const struct statistic *statistic = limit_statistic_row(limit);

    return (limit->daily == DAILY_EVERY || limit->daily == DAILY_MINIMUM ||
            limit->daily == DAILY_MAXIMUM) &&
           (!statistic || statistic->picks);
}

static const char *const day_figure_words[] = {
    [DAILY_EVERY] = "reading",
    [DAILY_MEAN] = "daily mean",
    [DAILY_MINIMUM] = "lowest reading of a day",
    [DAILY_MAXIMUM] = "highest reading of a day",
    [DAILY_TOTAL] = "daily total",
    [DAILY_LOAD] = "daily load",
};

static const char *const day_figures_words[] = {
    [DAILY_EVERY] = "readings",
    [DAILY_MEAN] = "daily means",
    [DAILY_MINIMUM] = "each day's lowest reading",
    [DAILY_MAXIMUM] = "each day's highest reading",
    [DAILY_TOTAL] = "daily totals",
    [DAILY_LOAD] = "daily loads",
};

char *limit_figure_words(struct arena *mem, const struct limit *limit)
{
    const char *statistic = limit_statistic_words[limit->statistic];

    if (limit->period == PERIOD_EACH_SAMPLE)
        return arena_strdup(mem, "each sample");
    if (limit->statistic == STATISTIC_VALUE && limit->daily != DAILY_EVERY)
        return arena_printf(mem, "%s%s", limit->period == PERIOD_MONTH ? "each " : "",
                            day_figure_words[limit->daily]);
    if (limit->statistic == STATISTIC_VALUE)
        return arena_strdup(mem, "every reading");
    if (limit->period == PERIOD_DAY)
        return arena_printf(mem, "daily %s", statistic);
    if (limit->daily == DAILY_EVERY)
        return arena_printf(mem, "monthly %s", statistic);

    return arena_printf(mem, "monthly %s of %s", statistic, day_figures_words[limit->daily]);
}

/* " mg/L", and nothing for pH, whose numbers stand by themselves. */
static const char *unit_after(struct arena *mem, const char *unit)
{
    if (str_empty(unit) || str_equal(unit, "pH"))
        return "";

    return arena_printf(mem, " %s", unit);
}

char *limit_bound_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound *bound = &limit->bound;
    const char *unit = unit_after(mem, limit->unit);
    const char *over = bound->ceiling_reached_is_outside ? "below" : "not above";
    const char *under = bound->floor_reached_is_outside ? "above" : "not below";

    if (!bound->has_floor)
        return arena_printf(mem, "%s %s%s", over, decimal_text(mem, bound->ceiling), unit);
    if (!bound->has_ceiling)
        return arena_printf(mem, "%s %s%s", under, decimal_text(mem, bound->floor), unit);
    if (!bound->ceiling_reached_is_outside && !bound->floor_reached_is_outside)
        return arena_printf(mem, "from %s to %s%s", decimal_text(mem, bound->floor),
                            decimal_text(mem, bound->ceiling), unit);

    return arena_printf(mem, "%s %s and %s %s%s", under, decimal_text(mem, bound->floor), over,
                        decimal_text(mem, bound->ceiling), unit);
}

char *limit_words(struct arena *mem, const struct limit *limit)
{
    return arena_printf(mem, "%s %s", limit_figure_words(mem, limit),
                        limit_bound_words(mem, limit));
}

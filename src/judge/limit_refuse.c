#include "judge/limit_refusal.h"

#include "base/str.h"

int limit_sign(struct decimal value)
{
    return (value.coefficient > 0) - (value.coefficient < 0);
}

bool limit_adds_up(const struct limit *limit)
{
    return limit->daily == DAILY_TOTAL || limit->daily == DAILY_LOAD;
}

bool limit_averages(const struct limit *limit)
{
    static const unsigned averages =
        LIMIT_STATISTIC(STATISTIC_MEAN) | LIMIT_STATISTIC(STATISTIC_GEOMETRIC_MEAN) |
        LIMIT_STATISTIC(STATISTIC_SUM) | LIMIT_STATISTIC(STATISTIC_FLOW_WEIGHTED_MEAN) |
        LIMIT_STATISTIC(STATISTIC_LOG_NORMAL_PERCENTILE);

    /* Several results of the other place on one day are averaged before they are paired. */
    bool pairs_days =
        limit->against.kind != AGAINST_NONE && limit->against.pairing == PAIR_SAME_DAY;

    return limit_statistic_in(limit, averages) || limit->daily == DAILY_MEAN ||
           (pairs_days && limit->daily == DAILY_EVERY) || limit->daily == DAILY_LOAD ||
           limit->daily == DAILY_FLOW_WEIGHTED_MEAN || limit->replicates == ALIKE_AVERAGED ||
           limit->side_by_side == ALIKE_AVERAGED;
}

bool limit_has_number(const struct limit *limit)
{
    return limit->bound.has_ceiling || limit->bound.has_floor;
}

const char *limit_refuse(const struct limit *limit, bool is_counter, bool is_state, bool is_ph)
{
    const struct limit_refusals *const groups[] = {
        &limit_refusals_of_bound,      &limit_refusals_of_period, &limit_refusals_of_figure,
        &limit_refusals_of_less_thans, &limit_refusals_of_place,  &limit_refusals_of_data,
    };
    const struct limit_subject subject = {limit, is_counter, is_state, is_ph};

    for (size_t i = 0; i < ARRAY_LEN(groups); i++)
        for (size_t k = 0; k < groups[i]->count; k++)
            if (groups[i]->rows[k].applies(&subject))
                return groups[i]->rows[k].why;

    return NULL;
}

/* --- data, rounding, margin, loads ----------------------------------------------------------- */

static bool load_without_flow(const struct limit_subject *subject)
{
    const struct limit_flow *flow = &subject->limit->flow;

    return subject->limit->daily == DAILY_LOAD &&
           (str_empty(flow->station) || str_empty(flow->parameter));
}

static bool weights(const struct limit *limit)
{
    return limit->daily == DAILY_FLOW_WEIGHTED_MEAN ||
           limit->statistic == STATISTIC_FLOW_WEIGHTED_MEAN;
}

static bool weighted_without_flow(const struct limit_subject *subject)
{
    const struct limit_flow *flow = &subject->limit->flow;

    return weights(subject->limit) && (str_empty(flow->station) || str_empty(flow->parameter));
}

static bool flow_without_load(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->daily != DAILY_LOAD &&
           (limit->load_factor ||
            (!weights(limit) && (limit->flow.station || limit->flow.parameter)));
}

static bool factor_without_units(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->load_factor &&
           (str_empty(limit->load_flow_unit) || str_empty(limit->load_concentration_unit));
}

static bool factor_unreadable(const struct limit_subject *subject)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = subject->limit->load_factor;
    const struct exact *factor = text ? exact_from_text(mem, text) : NULL;

    return text && (!factor || exact_sign(factor) <= 0);
}

/* Whether the period is made of days, more than one. */
static bool of_several_days(const struct limit *limit)
{
    return limit->period != PERIOD_DAY && limit->period != PERIOD_EACH_SAMPLE &&
           limit->period != PERIOD_LAST_SAMPLES;
}

static bool load_gap_in_a_day(const struct limit_subject *subject)
{
    return subject->limit->load_gap == LOAD_GAP_PERIOD_MEAN &&
           (subject->limit->daily != DAILY_LOAD || !of_several_days(subject->limit));
}

static bool load_gap_of_one_load(const struct limit_subject *subject)
{
    return subject->limit->load_gap == LOAD_GAP_PERIOD_MEAN &&
           subject->limit->load_water == LOAD_MEAN_TIMES_VOLUME;
}

static bool water_without_load(const struct limit_subject *subject)
{
    return subject->limit->load_water != LOAD_WATER_OF_DAY && subject->limit->daily != DAILY_LOAD;
}

static bool water_of_a_day(const struct limit_subject *subject)
{
    return (subject->limit->load_water == LOAD_WATER_PERIOD_MEAN ||
            subject->limit->load_water == LOAD_MEAN_TIMES_VOLUME) &&
           !of_several_days(subject->limit);
}

static bool one_load_with_statistic(const struct limit_subject *subject)
{
    return subject->limit->load_water == LOAD_MEAN_TIMES_VOLUME &&
           subject->limit->statistic != STATISTIC_SUM;
}

static bool samples_below_zero(const struct limit_subject *subject)
{
    return subject->limit->least_samples < 0;
}

static bool of_samples_only(const struct limit *limit)
{
    return limit->kinds != 0 && (limit->kinds & (KIND_PROBE | KIND_BY_HAND | KIND_DERIVED)) == 0;
}

static bool coverage_beyond_all(const struct limit_subject *subject)
{
    static const struct decimal all = {100, 0};
    struct decimal least = subject->limit->least_coverage;

    return limit_sign(least) < 0 || decimal_compare(least, all) > 0;
}

static bool coverage_of_samples(const struct limit_subject *subject)
{
    return limit_sign(subject->limit->least_coverage) > 0 && of_samples_only(subject->limit);
}

static bool coverage_of_last_samples(const struct limit_subject *subject)
{
    return limit_sign(subject->limit->least_coverage) > 0 &&
           subject->limit->period == PERIOD_LAST_SAMPLES;
}

static bool coverage_without_standing(const struct limit_subject *subject)
{
    return limit_sign(subject->limit->least_coverage) > 0 && !limit_adds_up(subject->limit) &&
           subject->limit->reading_stands_s == 0;
}

static bool standing_below_zero(const struct limit_subject *subject)
{
    return subject->limit->reading_stands_s < 0;
}

static bool standing_of_samples(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    /* That of a load or a weighted mean is the flow's. */
    return limit->standing_rule != STANDS_TO_NEXT && !limit->flow.station && of_samples_only(limit);
}

static bool standing_without_length(const struct limit_subject *subject)
{
    return subject->limit->standing_rule != STANDS_TO_NEXT && subject->limit->reading_stands_s == 0;
}

static bool margin_of_nothing(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->margin != MARGIN_NONE && limit_sign(limit->margin_amount) <= 0;
}

static bool margin_share_of_zero(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;
    const struct limit_bound *bound = &limit->bound;

    return limit->margin == MARGIN_SHARE &&
           ((bound->has_ceiling && limit_sign(bound->ceiling) == 0) ||
            (bound->has_floor && limit_sign(bound->floor) == 0));
}

static bool margin_of_a_state(const struct limit_subject *subject)
{
    return subject->limit->margin != MARGIN_NONE && subject->limit->bound_by.kind == BOUND_STATE;
}

static bool rounding_digits_unusable(const struct limit_subject *subject)
{
    const struct rounding *rounding = &subject->limit->rounding;

    if (rounding->rule == ROUND_NONE)
        return false;
    if (rounding->to == ROUND_TO_FIGURES)
        return rounding->digits < 1 || rounding->digits > DECIMAL_DIGITS_MOST;

    return rounding->digits < -DECIMAL_DIGITS_MOST || rounding->digits > DECIMAL_DIGITS_MOST;
}

static bool bounds_of_different_digits(const struct limit_subject *subject)
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

static bool rounding_to_no_number(const struct limit_subject *subject)
{
    return subject->limit->rounding_to_bound && !limit_has_number(subject->limit);
}

static bool rounding_of_a_state(const struct limit_subject *subject)
{
    return subject->limit->rounding.rule != ROUND_NONE && subject->is_state;
}

static bool dates_crossed(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->in_force_to != DAY_NONE && limit->in_force_to < limit->in_force_from;
}

static const struct limit_refusal rows[] = {
    {load_without_flow, "a load needs the station and the parameter of its flow"},
    {weighted_without_flow, "a flow-weighted mean needs the station and the parameter of its flow"},
    {flow_without_load, "a flow and a factor belong to a daily load only"},
    {factor_without_units, "a stated factor needs the units of flow and concentration it is for"},
    {factor_unreadable, "the factor of the load must be a number above 0"},
    {load_gap_in_a_day, "the mean of the period can only stand in for missing results in a "
                        "figure of daily loads over several days"},
    {load_gap_of_one_load, "the mean concentration times the volume is one load already: no day "
                           "of it lacks a result"},
    {water_without_load, "which water a load is made with can only be said of a load"},
    {water_of_a_day, "the water of a whole period can't make the load of a day or a sample"},
    {one_load_with_statistic, "the mean concentration times the volume is one load for the "
                              "period, so the statistic must be 'sum'"},
    {samples_below_zero, "the least number of samples is below 0"},
    {coverage_beyond_all, "the least coverage must lie between 0 and 100 percent"},
    {coverage_of_samples, "samples cover no time: coverage can only be asked of a probe"},
    {coverage_of_last_samples, "the last samples are no stretch of time that could be covered"},
    {coverage_without_standing, "coverage needs how long a reading stands"},
    {standing_below_zero, "how long a reading stands is below 0"},
    {standing_of_samples, "a sample stands for no time: only readings of a probe have time between "
                          "them"},
    {standing_without_length, "what holds between two readings needs how long a reading stands"},
    {margin_of_nothing, "the margin must be above 0"},
    {margin_share_of_zero, "a share of a bound of 0 is 0: give the margin as an amount"},
    {margin_of_a_state, "a word has no margin"},
    {rounding_digits_unusable, "figures are rounded to 1 to 18 figures, or to -18 to 18 decimals"},
    {rounding_of_a_state, "a word can't be rounded"},
    {rounding_to_no_number, "the bound is not one number: say the digits to round to"},
    {bounds_of_different_digits, "the bounds are written with different digits: say how to "
                                 "round"},
    {dates_crossed, "it would end before it begins"},
};

const struct limit_refusals limit_refusals_of_data = {rows, ARRAY_LEN(rows)};

/* Refusals about what is made of the readings: each day, and the statistic with its settings. */
#include "base/str.h"
#include "judge/limit_refusal.h"
#include "stat/percentile.h"

static bool goes_by_time(const struct limit *limit)
{
    return limit_of_time(limit) || limit_of_change(limit);
}

/* --- pH -------------------------------------------------------------------------------------- */

static bool ph_averaged(const struct limit_subject *subject)
{
    return subject->is_ph && limit_averages(subject->limit) && !subject->limit->ph_mean_as_written;
}

static bool as_written_of_other(const struct limit_subject *subject)
{
    return subject->limit->ph_mean_as_written &&
           (!subject->is_ph || !limit_averages(subject->limit));
}

static bool hydrogen_of_other(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_HYDROGEN_ION_MEAN && !subject->is_ph;
}

static bool ph_load(const struct limit_subject *subject)
{
    return subject->is_ph &&
           (limit_adds_up(subject->limit) || subject->limit->statistic == STATISTIC_SUM);
}

static bool ph_removed(const struct limit_subject *subject)
{
    return subject->is_ph && subject->limit->against.kind >= AGAINST_REMOVAL;
}

/* --- each day, then the statistic ------------------------------------------------------------ */

static bool counter_not_differenced(const struct limit_subject *subject)
{
    return subject->is_counter && subject->limit->daily != DAILY_TOTAL;
}

static bool sum_of_concentrations(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_SUM && !limit_adds_up(subject->limit);
}

static bool weighted_of_loads(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_FLOW_WEIGHTED_MEAN &&
           (limit_adds_up(subject->limit) || subject->limit->daily == DAILY_EVERY);
}

static bool time_of_days(const struct limit_subject *subject)
{
    return goes_by_time(subject->limit) && subject->limit->daily != DAILY_EVERY;
}

static bool time_of_samples(const struct limit_subject *subject)
{
    unsigned kinds = subject->limit->kinds;

    return limit_of_time(subject->limit) &&
           (kinds == 0 || (kinds & ~(unsigned)(KIND_PROBE | KIND_DERIVED)) != 0);
}

static bool time_without_standing(const struct limit_subject *subject)
{
    return limit_of_time(subject->limit) && subject->limit->reading_stands_s <= 0;
}

static bool time_of_last_samples(const struct limit_subject *subject)
{
    return goes_by_time(subject->limit) && subject->limit->period == PERIOD_LAST_SAMPLES;
}

/* --- settings -------------------------------------------------------------------------------- */

static bool percent_wrong(const struct limit_subject *subject)
{
    static const struct decimal all = {100, 0};
    struct decimal percent = subject->limit->settings.percent;

    return subject->limit->statistic == STATISTIC_PERCENTILE &&
           (limit_sign(percent) <= 0 || decimal_compare(percent, all) >= 0);
}

/* 0.9 is the share that 90 percent are. */
static bool percent_as_share(const struct limit_subject *subject)
{
    static const struct decimal one = {1, 0};

    return subject->limit->statistic == STATISTIC_PERCENTILE &&
           decimal_compare(subject->limit->settings.percent, one) < 0;
}

static bool rule_wrong(const struct limit_subject *subject)
{
    const char *rule = subject->limit->settings.percentile_rule;

    return subject->limit->statistic == STATISTIC_PERCENTILE &&
           (!rule || !percentile_definition_find(rule));
}

static bool percent_unused(const struct limit_subject *subject)
{
    return subject->limit->statistic != STATISTIC_PERCENTILE &&
           (limit_sign(subject->limit->settings.percent) != 0 ||
            subject->limit->settings.percentile_rule);
}

static bool z_missing(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE &&
           limit_sign(subject->limit->settings.z) == 0;
}

static bool deviation_missing(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE &&
           subject->limit->settings.deviation == DEVIATION_UNSET;
}

static bool log_normal_unused(const struct limit_subject *subject)
{
    return subject->limit->statistic != STATISTIC_LOG_NORMAL_PERCENTILE &&
           (limit_sign(subject->limit->settings.z) != 0 ||
            subject->limit->settings.deviation != DEVIATION_UNSET);
}

static bool beyond_missing(const struct limit_subject *subject)
{
    const struct limit_beyond *beyond = &subject->limit->settings.beyond;

    return limit_counts_beyond(subject->limit) && !beyond->has_above && !beyond->has_below;
}

static bool beyond_unused(const struct limit_subject *subject)
{
    const struct limit_beyond *beyond = &subject->limit->settings.beyond;

    return !limit_counts_beyond(subject->limit) && (beyond->has_above || beyond->has_below);
}

static bool beyond_is_all(const struct limit_subject *subject)
{
    const struct limit_beyond *beyond = &subject->limit->settings.beyond;

    return beyond->has_above && beyond->has_below &&
           decimal_compare(beyond->below, beyond->above) >= 0;
}

static bool span_missing(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_CHANGE &&
           subject->limit->settings.change_span_s <= 0;
}

static bool rate_missing(const struct limit_subject *subject)
{
    return subject->limit->statistic == STATISTIC_RATE && subject->limit->settings.rate_per_s <= 0;
}

static bool time_unit_missing(const struct limit_subject *subject)
{
    return limit_of_time(subject->limit) && subject->limit->settings.time_unit_s <= 0;
}

static bool change_unused(const struct limit_subject *subject)
{
    const struct statistic_settings *settings = &subject->limit->settings;
    enum limit_statistic is = subject->limit->statistic;

    return (settings->change_span_s != 0 && is != STATISTIC_CHANGE) ||
           (settings->rate_per_s != 0 && is != STATISTIC_RATE) ||
           (settings->change_direction != CHANGE_EITHER && !limit_of_change(subject->limit));
}

static bool time_unit_unused(const struct limit_subject *subject)
{
    return subject->limit->settings.time_unit_s != 0 && !limit_of_time(subject->limit);
}

static const struct limit_refusal rows[] = {
    {ph_load, "pH is a logarithm: it has no totals and no loads"},
    {ph_removed, "pH is a logarithm: no percent of it is removed, and it has no credit"},
    {ph_averaged, "pH is never averaged: it is a logarithm"},
    {as_written_of_other, "only pH whose written values are averaged is averaged as written"},
    {hydrogen_of_other, "only pH has a hydrogen-ion mean"},
    {counter_not_differenced, "a meter only runs up: only its daily total can be limited"},
    {sum_of_concentrations, "only daily totals and loads can be added up"},
    {weighted_of_loads, "a flow-weighted mean is of each day's concentration by its volume, so "
                        "each day must first have a mean, lowest or highest reading"},
    {time_of_days, "changes, rates and times outside go by every reading, not by figures of days"},
    {time_of_last_samples, "changes, rates and times outside need a stretch of time, which the "
                           "last samples are not"},
    {time_of_samples, "only the readings of a probe say how long something was outside: samples "
                      "must be 'probe'"},
    {time_without_standing, "a time outside needs how long a reading stands"},
    {percent_wrong, "a percentile lies between 0 and 100, as 90"},
    {percent_as_share, "a percentile is a number of percent, from 1: write 90 for the 90th "
                       "percentile"},
    {rule_wrong, "a percentile needs the rule it goes by, as Hazen or type 7"},
    {percent_unused, "only a percentile has a number of percent and a rule"},
    {z_missing, "a log-normal percentile needs the z that the licence states, as 1.282"},
    {deviation_missing, "a log-normal percentile needs the deviation it takes: sample or "
                        "population"},
    {log_normal_unused, "only a log-normal percentile has a z and a deviation"},
    {beyond_missing, "a count, a share or a time outside needs the number beyond which it counts"},
    {beyond_unused, "only a count, a share or a time outside has numbers beyond which it counts"},
    {beyond_is_all, "every value would lie beyond: the lower number must be under the upper one"},
    {span_missing, "a change needs the time within which it happens"},
    {rate_missing, "a rate needs the time it is per"},
    {time_unit_missing, "a time outside needs its unit, as minutes"},
    {change_unused, "only a change or a rate has a span of time and a direction"},
    {time_unit_unused, "only a time outside is in minutes or hours"},
};

const struct limit_refusals limit_refusals_of_figure = {rows, ARRAY_LEN(rows)};

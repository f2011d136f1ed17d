/* Refusals about less-thans and greater-thans. */
#include "base/str.h"
#include "judge/limit_refusal.h"

static enum less_than_rule rule_of(const struct limit *limit)
{
    return limit->has_geometric_rule && limit->statistic == STATISTIC_GEOMETRIC_MEAN
               ? limit->less_than_geometric
               : limit->less_than;
}

static bool is_kaplan_meier(const struct limit *limit)
{
    return rule_of(limit) == LESS_THAN_KAPLAN_MEIER ||
           rule_of(limit) == LESS_THAN_KAPLAN_MEIER_RESTRICTED;
}

static bool of_whole(const struct limit *limit)
{
    return is_kaplan_meier(limit) || rule_of(limit) == LESS_THAN_REGRESSION;
}

/* Whether the figure is made with logarithms. */
static bool of_logarithms(const struct limit *limit)
{
    return limit->statistic == STATISTIC_GEOMETRIC_MEAN ||
           limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE;
}

static bool logarithm_of_zero(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return of_logarithms(limit) &&
           (rule_of(limit) == LESS_THAN_ZERO || limit->between == BETWEEN_ZERO ||
            (rule_of(limit) == LESS_THAN_STATED && limit_sign(limit->less_than_stated) <= 0));
}

static bool stated_below_zero(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return rule_of(limit) == LESS_THAN_STATED && limit_sign(limit->less_than_stated) < 0;
}

static bool whole_of_days(const struct limit_subject *subject)
{
    return of_whole(subject->limit) && subject->limit->daily != DAILY_EVERY;
}

static bool whole_of_statistic(const struct limit_subject *subject)
{
    static const unsigned taken =
        LIMIT_STATISTIC(STATISTIC_MEAN) | LIMIT_STATISTIC(STATISTIC_GEOMETRIC_MEAN) |
        LIMIT_STATISTIC(STATISTIC_MEDIAN) | LIMIT_STATISTIC(STATISTIC_PERCENTILE) |
        LIMIT_STATISTIC(STATISTIC_LOG_NORMAL_PERCENTILE);

    return of_whole(subject->limit) && !limit_statistic_in(subject->limit, taken);
}

static bool whole_of_two_places(const struct limit_subject *subject)
{
    return (of_whole(subject->limit) || rule_of(subject->limit) == LESS_THAN_RANKED) &&
           (subject->limit->added_count > 0 || subject->limit->against.kind != AGAINST_NONE);
}

static bool kaplan_meier_of_logarithms(const struct limit_subject *subject)
{
    return is_kaplan_meier(subject->limit) &&
           subject->limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE;
}

static bool kaplan_meier_of_other_rank(const struct limit_subject *subject)
{
    const char *rule = subject->limit->settings.percentile_rule;

    return is_kaplan_meier(subject->limit) && subject->limit->statistic == STATISTIC_PERCENTILE &&
           !str_equal(rule, "type 1") && !str_equal(rule, "nearest rank");
}

static bool ranked_of_other(const struct limit_subject *subject)
{
    return rule_of(subject->limit) == LESS_THAN_RANKED &&
           (subject->limit->statistic != STATISTIC_MEDIAN || subject->limit->daily != DAILY_EVERY);
}

static bool half_of_no_bound(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return rule_of(limit) == LESS_THAN_LOWER_OF_HALF &&
           (!limit->bound.has_ceiling || limit_counts_beyond(limit) || limit_adds_up(limit) ||
            limit_of_change(limit) || limit->against.kind != AGAINST_NONE);
}

static bool geometric_rule_unused(const struct limit_subject *subject)
{
    return subject->limit->has_geometric_rule &&
           subject->limit->statistic != STATISTIC_GEOMETRIC_MEAN;
}

static bool single_of_figures(const struct limit_subject *subject)
{
    return subject->limit->single_less_than != SINGLE_AS_ALLOWED &&
           !limit_of_single_values(subject->limit);
}

static bool single_over_floor(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->single_less_than == SINGLE_WITHIN &&
           (!limit->bound.has_ceiling || limit->bound.has_floor || limit_counts_beyond(limit));
}

static bool single_without_rule(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->single_less_than == SINGLE_BY_RULE &&
           (limit->less_than == LESS_THAN_UNSET || of_whole(limit) ||
            limit->less_than == LESS_THAN_RANKED);
}

static bool whole_rules_of_single(const struct limit_subject *subject)
{
    return (subject->limit->beyond_by_rule || subject->limit->largest_if_all) &&
           limit_of_single_values(subject->limit);
}

static bool beyond_without_rule(const struct limit_subject *subject)
{
    return subject->limit->beyond_by_rule && rule_of(subject->limit) == LESS_THAN_UNSET;
}

static bool of_a_state(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return subject->is_state &&
           (limit->less_than != LESS_THAN_UNSET || limit->between != BETWEEN_AS_REPORTED ||
            limit->single_less_than != SINGLE_AS_ALLOWED ||
            limit->greater_than != GREATER_THAN_REFUSED);
}

static const struct limit_refusal rows[] = {
    {of_a_state, "a word is never a less-than"},
    {logarithm_of_zero, "a geometric mean has no answer for 0, so a less-than can't stand for it"},
    {stated_below_zero, "the number stated for less-thans is below 0"},
    {whole_of_days, "Kaplan-Meier and regression take all results of the period at once, so each "
                    "day must be 'every reading'"},
    {whole_of_statistic, "Kaplan-Meier and regression give means, medians and percentiles only"},
    {whole_of_two_places, "a rule that ranks all results at once can't take two places together"},
    {kaplan_meier_of_logarithms, "Kaplan-Meier has no deviation by n or n - 1: a log-normal "
                                 "percentile goes with regression on order statistics"},
    {kaplan_meier_of_other_rank, "with Kaplan-Meier a percentile is the value at its rank: the "
                                 "rule must be 'nearest rank' or 'type 1'"},
    {ranked_of_other, "less-thans are ranked in a median of every reading only"},
    {half_of_no_bound, "half the bound is only a number for less-thans where the bound is an upper "
                       "one on the readings themselves"},
    {geometric_rule_unused, "there is no geometric mean whose less-thans could have another rule"},
    {single_of_figures, "a less-than stands alone only where the bound is on single values"},
    {single_over_floor, "a less-than can keep an upper bound by itself, and no lower one"},
    {single_without_rule,
     "single less-thans go by a rule that gives each its own number, and there "
     "is none"},
    {whole_rules_of_single, "where the bound is on single values, no figure is made of less-thans"},
    {beyond_without_rule, "less-thans beyond the bound can't count by a rule that is not said"},
};

const struct limit_refusals limit_refusals_of_less_thans = {rows, ARRAY_LEN(rows)};

#include "trust/duplicates.h"

#include <math.h>

const char *const pair_answer_words[] = {"compared", "not assessed: both are 0",
                                         "not assessed: both are less-thans",
                                         "not assessed: one is a less-than"};

const struct replicate_rule replicate_published = {.times = 2, .percent = 25};
const struct outlier_rule outlier_published = {.quartiles = 1.5, .percentile = 95, .times = 3};

/* Relative to the size of the mean: two of opposite signs have no use for a signed one. */
static double relative_percent(double a, double b)
{
    return 100.0 * fabs(a - b) / fabs((a + b) / 2.0);
}

struct pair_difference pair_compare(const struct lab_result *a, const struct lab_result *b)
{
    struct pair_difference difference = {.rpd_percent = (double)NAN, .rsd_percent = (double)NAN};

    if (a->less_than && b->less_than)
        difference.answer = PAIR_BOTH_LESS_THAN;
    else if (a->less_than || b->less_than)
        difference.answer = PAIR_ONE_LESS_THAN;
    else if (a->value + b->value == 0.0)
        difference.answer = PAIR_BOTH_ZERO;
    else
        difference.rpd_percent = relative_percent(a->value, b->value);
    difference.rsd_percent = difference.rpd_percent / sqrt(2.0);

    return difference;
}

bool replicate_rsd_percent(const double *values, size_t count, double *out)
{
    double mean = 0.0;
    double squares = 0.0;

    for (size_t i = 0; i < count; i++)
        mean += values[i] / (double)count;
    if (count < 2 || mean == 0.0)
        return false;
    for (size_t i = 0; i < count; i++)
        squares += (values[i] - mean) * (values[i] - mean);
    *out = 100.0 * sqrt(squares / (double)(count - 1)) / fabs(mean);

    return true;
}

bool replicate_too_far(const struct replicate_rule *rule, const struct lab_result *a,
                       const struct lab_result *b, double limit)
{
    struct pair_difference difference = pair_compare(a, b);

    if (difference.answer == PAIR_ONE_LESS_THAN)
        return (a->less_than ? b->value : a->value) > rule->times * limit;

    return difference.answer == PAIR_COMPARED && fabs(a->value - b->value) > rule->times * limit &&
           difference.rpd_percent > rule->percent;
}

bool blank_touches(const struct lab_result *blank, double detection,
                   const struct lab_result *result, double times)
{
    return !blank->less_than && blank->value > detection && !result->less_than &&
           result->value < times * blank->value;
}

bool outlier_is(const struct outlier_rule *rule, const struct outlier_history *history,
                double value, double limit)
{
    double between = history->upper_quartile - history->lower_quartile;

    return value > history->upper_quartile + rule->quartiles * between &&
           value > history->percentile_value && value >= rule->times * limit;
}

enum coarse_answer coarse_for_bound(struct decimal limit, struct decimal bound, bool is_floor)
{
    if (decimal_compare(limit, bound) <= 0)
        return COARSE_FINE;

    return is_floor ? COARSE_ABOVE_FLOOR : COARSE_ABOVE_BOUND;
}

#include "report/live.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/str.h"
#include "judge/bound.h"

bool live_same(double a, double b)
{
    double larger = fabs(a) > fabs(b) ? fabs(a) : fabs(b);

    return fabs(a - b) <= 1e-10 * larger;
}

/* ---- what a spreadsheet's functions give ---- */

static double sum_of(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += values[i];

    return sum;
}

static double mean_of(const double *values, size_t count)
{
    return sum_of(values, count) / (double)count;
}

static double geometric_mean_of(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++) {
        if (values[i] <= 0)
            return NAN;
        sum += log(values[i]);
    }

    return exp(sum / (double)count);
}

static double minimum_of(const double *values, size_t count)
{
    double least = values[0];

    for (size_t i = 1; i < count; i++)
        least = values[i] < least ? values[i] : least;

    return least;
}

static double maximum_of(const double *values, size_t count)
{
    double most = values[0];

    for (size_t i = 1; i < count; i++)
        most = values[i] > most ? values[i] : most;

    return most;
}

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a;
    double right = *(const double *)b;

    return (left > right) - (left < right);
}

static double median_of(const double *values, size_t count)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    double *sorted = arena_copy(mem, values, count * sizeof(*values));

    qsort(sorted, count, sizeof(*sorted), by_size);

    return count % 2 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
}

struct function {
    const char *name;
    double (*of)(const double *values, size_t count);
};

static const struct function statistic_functions[] = {
    [STATISTIC_VALUE] = {NULL, NULL},
    [STATISTIC_MEAN] = {"AVERAGE", mean_of},
    [STATISTIC_GEOMETRIC_MEAN] = {"GEOMEAN", geometric_mean_of},
    [STATISTIC_MEDIAN] = {"MEDIAN", median_of},
    [STATISTIC_MINIMUM] = {"MIN", minimum_of},
    [STATISTIC_MAXIMUM] = {"MAX", maximum_of},
    [STATISTIC_SUM] = {"SUM", sum_of},
    [STATISTIC_LONGEST_OUTSIDE] = {NULL, NULL}, /* and all between */
};

static const struct function daily_functions[] = {
    [DAILY_EVERY] = {NULL, NULL},
    [DAILY_MEAN] = {"AVERAGE", mean_of},
    [DAILY_MINIMUM] = {"MIN", minimum_of},
    [DAILY_MAXIMUM] = {"MAX", maximum_of},
    [DAILY_TOTAL] = {NULL, NULL},
    [DAILY_LOAD] = {"AVERAGE", mean_of},
    [DAILY_FLOW_WEIGHTED_MEAN] = {NULL, NULL},
};

static const char *apply(struct arena *mem, const struct function *function,
                         const struct live_range *range, double judged)
{
    if (!function->of || range->count == 0 ||
        !live_same(function->of(range->values, range->count), judged))
        return NULL;

    return arena_printf(mem, "=%s(%s)", function->name, range->cells);
}

/* ---- figures ---- */

/* The worst of single values: the one furthest beyond, or nearest to, a bound. */
static const char *worst(struct arena *mem, const struct limit *limit,
                         const struct live_range *range, const struct live_bound *bound,
                         double judged)
{
    static const struct function highest = {"MAX", maximum_of};
    static const struct function lowest = {"MIN", minimum_of};

    if (range->count == 0 || limit->bound_by.kind != BOUND_NUMBER)
        return NULL;
    if (!bound->floor)
        return apply(mem, &highest, range, judged);
    if (!bound->ceiling)
        return apply(mem, &lowest, range, judged);

    double most = maximum_of(range->values, range->count);
    double least = minimum_of(range->values, range->count);
    double over = most - decimal_double(limit->bound.ceiling);
    double under = decimal_double(limit->bound.floor) - least;

    if (!live_same(over > under ? most : least, judged))
        return NULL;

    return arena_printf(mem, "=IF(MAX(%s)-%s>%s-MIN(%s),MAX(%s),MIN(%s))", range->cells,
                        bound->ceiling, bound->floor, range->cells, range->cells, range->cells);
}

const char *live_figure(struct arena *mem, const struct verdict *verdict,
                        const struct live_range *range, const struct live_bound *bound)
{
    const struct limit *limit = verdict->limit;

    if (!verdict->figure)
        return NULL;

    double judged = exact_double(verdict->figure);

    if (limit->statistic == STATISTIC_VALUE)
        return worst(mem, limit, range, bound, judged);

    return apply(mem, &statistic_functions[limit->statistic], range, judged);
}

const char *live_daily(struct arena *mem, enum limit_daily daily, const struct live_range *range,
                       double judged)
{
    return apply(mem, &daily_functions[daily], range, judged);
}

const char *live_used(struct arena *mem, const struct limit *limit, char qualifier,
                      const char *cell, double value, double used)
{
    if (live_same(value, used))
        return arena_printf(mem, "=%s", cell);
    if (qualifier == QUALIFIER_LESS && limit->less_than == LESS_THAN_HALF &&
        live_same(value / 2, used))
        return arena_printf(mem, "=%s/2", cell);

    return NULL;
}

/* ---- rounding ---- */

/* A number as spreadsheets round it: to 15 figures first, then half away from zero. */
static double round_half_up(double value, int decimals)
{
    double power = pow(10, decimals);
    char digits[40];

    snprintf(digits, sizeof(digits), "%.15g", fabs(value) * power);

    return copysign(floor(strtod(digits, NULL) + 0.5) / power, value);
}

static double round_half_even(double value, int decimals)
{
    double power = pow(10, decimals);
    double scaled = fabs(value) * power;

    if (fabs(fmod(scaled, 1) - 0.5) < 1e-9)
        return copysign(2 * round_half_up(scaled / 2, 0) / power, value);

    return round_half_up(value, decimals);
}

static int decimals_of(double value, struct rounding rounding)
{
    if (rounding.to == ROUND_TO_DECIMALS)
        return rounding.digits;

    return rounding.digits - 1 - (int)floor(log10(fabs(value)));
}

/* The power of ten that brings the last kept digit of `cell` before the point. */
static const char *power_text(struct arena *mem, const char *cell, struct rounding rounding)
{
    if (rounding.to == ROUND_TO_DECIMALS)
        return arena_printf(mem, "10^%d", rounding.digits);

    return arena_printf(mem, "10^(%d-INT(LOG10(ABS(%s))))", rounding.digits - 1, cell);
}

static const char *half_up_text(struct arena *mem, const char *cell, struct rounding rounding)
{
    if (rounding.to == ROUND_TO_DECIMALS)
        return arena_printf(mem, "ROUND(%s,%d)", cell, rounding.digits);

    return arena_printf(mem, "ROUND(%s,%d-INT(LOG10(ABS(%s))))", cell, rounding.digits - 1, cell);
}

/* No spreadsheet function rounds half to even: a tie is told by what is left after the point. */
static const char *half_even_text(struct arena *mem, const char *cell, struct rounding rounding)
{
    const char *power = power_text(mem, cell, rounding);

    return arena_printf(mem, "IF(ROUND(MOD(ABS(%s)*%s,1),9)=0.5,2*ROUND(%s*%s/2,0)/%s,%s)", cell,
                        power, cell, power, power, half_up_text(mem, cell, rounding));
}

const char *live_rounding(struct arena *mem, const char *cell, struct rounding rounding,
                          double figure, double compared)
{
    double rounded = figure;

    if (rounding.rule == ROUND_NONE || figure == 0)
        return live_same(figure, compared) ? arena_printf(mem, "=%s", cell) : NULL;

    int decimals = decimals_of(figure, rounding);

    rounded = rounding.rule == ROUND_HALF_UP ? round_half_up(figure, decimals)
                                             : round_half_even(figure, decimals);
    if (!live_same(rounded, compared))
        return NULL;

    return arena_printf(mem, "=%s",
                        rounding.rule == ROUND_HALF_UP ? half_up_text(mem, cell, rounding)
                                                       : half_even_text(mem, cell, rounding));
}

/* ---- verdicts ---- */

/* How the verdict would read on that side of its bound. */
static const char *words_of(struct arena *mem, const struct verdict *verdict, enum side side)
{
    struct verdict other = *verdict;

    other.standing = side == SIDE_NONE ? STANDING_WITHIN : STANDING_OUTSIDE;
    other.side = side;
    if (side != SIDE_NONE)
        other.bound_text = bound_text(mem, verdict->limit, side);

    return verdict_standing_words(mem, &other);
}

static enum side side_of(const struct limit_bound *bound, double compared)
{
    double ceiling = decimal_double(bound->ceiling);
    double floor = decimal_double(bound->floor);

    if (bound->has_ceiling &&
        (compared > ceiling || (bound->ceiling_reached_is_outside && live_same(compared, ceiling))))
        return SIDE_ABOVE;
    if (bound->has_floor &&
        (compared < floor || (bound->floor_reached_is_outside && live_same(compared, floor))))
        return SIDE_BELOW;

    return SIDE_NONE;
}

const char *live_verdict(struct arena *mem, const struct verdict *verdict, const char *cell,
                         const struct live_bound *bound)
{
    const struct limit_bound *rule = &verdict->limit->bound;
    bool judged = verdict->standing == STANDING_WITHIN || verdict->standing == STANDING_OUTSIDE;
    enum side judged_side = verdict->standing == STANDING_OUTSIDE ? verdict->side : SIDE_NONE;

    /* What is counted over several values or periods is no matter of one cell. */
    if (verdict->limit->allowance.kind != ALLOWANCE_NONE || verdict->limit->across_of > 0)
        return NULL;
    /* A bound that goes by other readings, or is a word, stands in no cell. */
    if (!judged || verdict->rests_on_doubt || !verdict->compared ||
        verdict->limit->bound_by.kind != BOUND_NUMBER ||
        side_of(rule, exact_double(verdict->compared)) != judged_side)
        return NULL;

    const char *text = arena_printf(mem, "\"%s\"", words_of(mem, verdict, SIDE_NONE));

    if (rule->has_floor)
        text = arena_printf(mem, "IF(%s%s%s,\"%s\",%s)", cell,
                            rule->floor_reached_is_outside ? "<=" : "<", bound->floor,
                            words_of(mem, verdict, SIDE_BELOW), text);
    if (rule->has_ceiling)
        text = arena_printf(mem, "IF(%s%s%s,\"%s\",%s)", cell,
                            rule->ceiling_reached_is_outside ? ">=" : ">", bound->ceiling,
                            words_of(mem, verdict, SIDE_ABOVE), text);

    return arena_printf(mem, "=%s", text);
}

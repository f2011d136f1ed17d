#include "stat/ros.h"

#include <math.h>

#include "stat/normal.h"

/* Results between two limits, and where they stand. */
struct band {
    struct amount limit;
    size_t numbers;    /* from this limit to below the next */
    size_t less_thans; /* of this limit */
    size_t below;      /* known to be below it */
    double exceedance; /* share at or above it */
};

struct bands {
    struct band *items;
    size_t count;
    size_t capacity;
};

/* A band for each limit, ascending, from results in order; one from 0 where a number comes first.
 */
static struct bands bands_of(struct arena *mem, const struct censored_value *sorted, size_t count)
{
    struct bands bands = {.count = 0};

    for (size_t i = 0; i < count; i++) {
        bool opens = sorted[i].less_than &&
                     (bands.count == 0 || amount_compare(mem, bands.items[bands.count - 1].limit,
                                                         sorted[i].value) != 0);

        if (opens)
            LIST_ADD(mem, &bands, ((struct band){.limit = sorted[i].value, .below = i}));
        else if (bands.count == 0)
            LIST_ADD(mem, &bands, ((struct band){.limit = {.exact = NULL}}));
        if (sorted[i].less_than) {
            bands.items[bands.count - 1].less_thans++;
            bands.items[bands.count - 1].below++;
        } else {
            bands.items[bands.count - 1].numbers++;
        }
    }

    return bands;
}

static void work_out_exceedances(const struct bands *bands)
{
    double above = 0;

    for (size_t i = bands->count; i-- > 0;) {
        struct band *band = &bands->items[i];

        band->exceedance =
            above + (double)band->numbers / (double)(band->numbers + band->below) * (1 - above);
        above = band->exceedance;
    }
}

/* The i-th (from 1) of `count` between two shares. */
static double position(double from, double width, size_t i, size_t count, double a)
{
    return from + width * ((double)i - a) / ((double)count + 1 - 2 * a);
}

/* Normal scores of results in order: a band's less-thans and its numbers each by themselves. */
static double *scores_of(struct arena *mem, const struct bands *bands,
                         const struct censored_value *sorted, size_t count, double a)
{
    double *scores = ARENA_ARRAY(mem, double, count);
    size_t at = 0;

    for (size_t k = 0; k < bands->count; k++) {
        const struct band *band = &bands->items[k];
        double above = k + 1 < bands->count ? bands->items[k + 1].exceedance : 0;
        size_t end = at + band->numbers + band->less_thans;
        size_t less_thans = 0;
        size_t numbers = 0;

        for (; at < end; at++)
            scores[at] = normal_quantile(
                sorted[at].less_than
                    ? position(0, 1 - band->exceedance, ++less_thans, band->less_thans, a)
                    : position(1 - band->exceedance, band->exceedance - above, ++numbers,
                               band->numbers, a));
    }

    return scores;
}

static long double log_of(struct amount value)
{
    return logl((long double)amount_double(value));
}

/* Least squares of the logarithms of the numbers on their scores. */
static void regress(const struct censored_value *sorted, const double *scores, size_t count,
                    struct ros *fit)
{
    long double n = 0;
    long double x = 0;
    long double y = 0;
    long double xx = 0;
    long double xy = 0;

    for (size_t i = 0; i < count; i++)
        if (!sorted[i].less_than) {
            n++;
            x += (long double)scores[i];
            y += log_of(sorted[i].value);
        }
    for (size_t i = 0; i < count; i++)
        if (!sorted[i].less_than) {
            long double away = (long double)scores[i] - x / n;

            xx += away * away;
            xy += away * (log_of(sorted[i].value) - y / n);
        }
    fit->slope = (double)(xy / xx);
    fit->intercept = (double)(y / n - xy / xx * (x / n));
}

static bool check(const struct censored_value *values, size_t count, double a, struct err *err)
{
    if (!censored_check(values, count, "regression on order statistics", err))
        return false;
    if (!(a >= 0 && a <= 0.5))
        return err_set(err, ERR_INVALID, "the number of a plotting position lies from 0 to 0.5");
    for (size_t i = 0; i < count; i++)
        if (amount_sign(values[i].value) <= 0)
            return err_set(err, ERR_INVALID,
                           "regression on order statistics has no answer for a result of 0 or "
                           "below");

    return true;
}

bool ros_fit(struct arena *mem, const struct censored_value *values, size_t count, double a,
             struct ros *out, struct err *err)
{
    if (!check(values, count, a, err))
        return false;

    const struct censored_value *sorted = censored_sorted(mem, values, count);
    struct bands bands = bands_of(mem, sorted, count);
    struct ros fit = {.count = count,
                      .modelled = ARENA_ARRAY(mem, struct amount, count),
                      .exceedance = ARENA_ARRAY(mem, double, bands.count),
                      .exceedance_count = bands.count};
    struct amount *filled = ARENA_ARRAY(mem, struct amount, count);

    work_out_exceedances(&bands);
    for (size_t i = 0; i < bands.count; i++)
        fit.exceedance[i] = bands.items[i].exceedance;

    const double *scores = scores_of(mem, &bands, sorted, count, a);

    regress(sorted, scores, count, &fit);
    for (size_t i = 0; i < count; i++) {
        filled[i] = sorted[i].value;
        if (!sorted[i].less_than)
            continue;
        filled[i] =
            amount_from_exact(exact_from_double(mem, exp(fit.intercept + fit.slope * scores[i])));
        fit.modelled[fit.modelled_count++] = filled[i];
    }
    fit.filled = amount_sorted(mem, filled, count);
    *out = fit;

    return true;
}

const struct exact *ros_mean(struct arena *mem, const struct ros *fit)
{
    return exact_div(mem, amount_sum(mem, fit->filled, fit->count),
                     exact_from_int(mem, (int64_t)fit->count));
}

const struct exact *ros_deviation(struct arena *mem, const struct ros *fit)
{
    const struct exact *mean = ros_mean(mem, fit);
    const struct exact *squares = exact_from_int(mem, 0);

    for (size_t i = 0; i < fit->count; i++) {
        const struct exact *away = exact_sub(mem, amount_exact(mem, fit->filled[i]), mean);

        squares = exact_add(mem, squares, exact_mul(mem, away, away));
    }

    return exact_from_double(mem, sqrt(exact_double(squares) / (double)(fit->count - 1)));
}

void ros_logs(const struct ros *fit, double *mean, double *deviation)
{
    long double sum = 0;
    long double squares = 0;

    for (size_t i = 0; i < fit->count; i++)
        sum += log_of(fit->filled[i]);
    sum /= (long double)fit->count;
    for (size_t i = 0; i < fit->count; i++)
        squares += powl(log_of(fit->filled[i]) - sum, 2);

    *mean = (double)sum;
    *deviation = (double)sqrtl(squares / (long double)(fit->count - 1));
}

const struct exact *ros_geometric_mean(struct arena *mem, const struct ros *fit)
{
    double mean;
    double deviation;

    ros_logs(fit, &mean, &deviation);

    return exact_from_double(mem, exp(mean));
}

const struct exact *ros_percentile(struct arena *mem, const struct ros *fit,
                                   const struct percentile_definition *definition,
                                   const struct exact *p)
{
    return percentile_of_sorted(mem, definition, fit->filled, fit->count, p);
}

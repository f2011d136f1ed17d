#include "stat/most_probable_number.h"

#include <math.h>

#include "stat/normal.h"

/* 95 %: the chi-square of one degree of freedom is the square of a normal score. */
static const double share_outside = 0.05;

struct tubes {
    double n;
    double x;
    double z;
};

struct pattern {
    struct tubes rows[MPN_DILUTIONS_MOST];
    size_t count;
};

/* A function of the density that goes one way and crosses 0 once. */
typedef double slope_of(const struct pattern *pattern, double density, double aim);

/* Falls from above 0 to below it. */
static double score(const struct pattern *pattern, double density, double aim)
{
    double sum = 0;

    (void)aim;
    for (size_t i = 0; i < pattern->count; i++) {
        const struct tubes *row = &pattern->rows[i];

        if (row->x > 0)
            sum += row->x * row->z / -expm1(-density * row->z);
        sum -= row->n * row->z;
    }

    return sum;
}

static double log_likelihood(const struct pattern *pattern, double density)
{
    double sum = 0;

    for (size_t i = 0; i < pattern->count; i++) {
        const struct tubes *row = &pattern->rows[i];

        if (row->x > 0)
            sum += row->x * log(-expm1(-density * row->z));
        sum -= (row->n - row->x) * density * row->z;
    }

    return sum;
}

static double likelihood_above(const struct pattern *pattern, double density, double aim)
{
    return log_likelihood(pattern, density) - aim;
}

/*
 * Where the function crosses 0 between two densities: halving on the logarithmic scale, down to
 * neighbouring doubles. `falls`: it is above 0 at the lower end.
 */
static double find_crossing(const struct pattern *pattern, slope_of *of, double aim, double low,
                            double high, bool falls)
{
    for (;;) {
        double middle = sqrt(low) * sqrt(high);

        if (!(middle > low && middle < high))
            return middle;
        if ((of(pattern, middle, aim) > 0) == falls)
            low = middle;
        else
            high = middle;
    }
}

static double smallest_amount(const struct pattern *pattern)
{
    double smallest = pattern->rows[0].z;

    for (size_t i = 1; i < pattern->count; i++)
        smallest = fmin(smallest, pattern->rows[i].z);

    return smallest;
}

static double largest_amount(const struct pattern *pattern)
{
    double largest = pattern->rows[0].z;

    for (size_t i = 1; i < pattern->count; i++)
        largest = fmax(largest, pattern->rows[i].z);

    return largest;
}

/*
 * No density of interest lies outside: at the lower end all tubes are negative but for one in
 * 10^12, at the upper end even the smallest amount is positive as far as a double can tell.
 */
static double least_density(const struct pattern *pattern)
{
    const double one_in = 1e-12;

    return one_in / largest_amount(pattern);
}

static double greatest_density(const struct pattern *pattern)
{
    const double organisms = 700;

    return organisms / smallest_amount(pattern);
}

static double sum_over(const struct pattern *pattern, double (*of)(const struct tubes *row))
{
    double sum = 0;

    for (size_t i = 0; i < pattern->count; i++)
        sum += of(&pattern->rows[i]);

    return sum;
}

static double all(const struct tubes *row)
{
    return row->n;
}

static double positives(const struct tubes *row)
{
    return row->x;
}

static double negatives(const struct tubes *row)
{
    return row->n - row->x;
}

static double amount_in_all(const struct tubes *row)
{
    return row->n * row->z;
}

static double amount_in_negatives(const struct tubes *row)
{
    return (row->n - row->x) * row->z;
}

static double likeliest_density(const struct pattern *pattern)
{
    return find_crossing(pattern, score, 0, least_density(pattern), greatest_density(pattern),
                         true);
}

/* Least density of the patterns with one positive, or greatest of those with one negative. */
static double nearest_density(const struct pattern *pattern, bool all_negative)
{
    double nearest = 0;

    for (size_t i = 0; i < pattern->count; i++) {
        struct pattern other = *pattern;

        other.rows[i].x += all_negative ? 1 : -1;

        double density = likeliest_density(&other);

        if (nearest == 0 || (density < nearest) == all_negative)
            nearest = density;
    }

    return nearest;
}

/* To tell a figure per `per`. */
static const struct exact *told(struct arena *mem, double density, double per)
{
    return exact_from_double(mem, density * per);
}

static void work_out_log_normal(struct arena *mem, const struct pattern *pattern, double density,
                                double per, struct mpn *out)
{
    double information = 0;

    for (size_t i = 0; i < pattern->count; i++) {
        const struct tubes *row = &pattern->rows[i];
        double positive = -expm1(-density * row->z);

        information += row->x * row->z * row->z * (1 - positive) / (positive * positive);
    }

    double error = 1 / (density * sqrt(information));
    double factor = exp(normal_quantile(1 - share_outside / 2) * error);

    out->log10_error = exact_from_double(mem, error / log(10));
    out->log_normal_low = told(mem, density / factor, per);
    out->log_normal_high = told(mem, density * factor, per);
}

static double log_binomial(const struct tubes *row, double x, double density)
{
    double sum = lgamma(row->n + 1) - lgamma(x + 1) - lgamma(row->n - x + 1);

    if (x > 0)
        sum += x * log(-expm1(-density * row->z));

    return sum - (row->n - x) * density * row->z;
}

static double rarity_of(const struct pattern *pattern, double density)
{
    double sum = 0;

    for (size_t i = 0; i < pattern->count; i++) {
        const struct tubes *row = &pattern->rows[i];
        double likeliest = fmin(floor(-expm1(-density * row->z) * (row->n + 1)), row->n);

        sum += log_binomial(row, row->x, density) - log_binomial(row, likeliest, density);
    }

    return exp(sum);
}

/* The density less the first term of its bias. */
static double without_bias(const struct pattern *pattern, double density)
{
    double squares = 0;
    double cubes = 0;

    for (size_t i = 0; i < pattern->count; i++) {
        const struct tubes *row = &pattern->rows[i];
        double part = row->n * row->z * row->z / expm1(density * row->z);

        squares += part;
        cubes += part * row->z;
    }

    return density - cubes / (2 * squares * squares);
}

static void work_out_number(struct arena *mem, const struct pattern *pattern, double per,
                            struct mpn *out)
{
    double density = likeliest_density(pattern);
    double z = normal_quantile(1 - share_outside / 2);
    double aim = log_likelihood(pattern, density) - z * z / 2;

    out->kind = MPN_NUMBER;
    out->number = told(mem, density, per);
    out->low = told(
        mem, find_crossing(pattern, likelihood_above, aim, least_density(pattern), density, false),
        per);
    out->high = told(
        mem,
        find_crossing(pattern, likelihood_above, aim, density, greatest_density(pattern), true),
        per);
    work_out_log_normal(mem, pattern, density, per, out);
    out->rarity = exact_from_double(mem, rarity_of(pattern, density));
    out->thomas = told(mem,
                       sum_over(pattern, positives) / sqrt(sum_over(pattern, amount_in_negatives) *
                                                           sum_over(pattern, amount_in_all)),
                       per);
    out->adjusted = told(mem, without_bias(pattern, density), per);
}

static void work_out_less(struct arena *mem, const struct pattern *pattern, double per,
                          struct mpn *out)
{
    out->kind = MPN_LESS;
    out->number = told(mem, nearest_density(pattern, true), per);
    out->high = told(mem, -log(share_outside) / sum_over(pattern, amount_in_all), per);
}

static void work_out_greater(struct arena *mem, const struct pattern *pattern, double per,
                             struct mpn *out)
{
    out->kind = MPN_GREATER;
    out->number = told(mem, nearest_density(pattern, false), per);
    out->low = told(mem,
                    find_crossing(pattern, likelihood_above, log(share_outside),
                                  least_density(pattern), greatest_density(pattern), false),
                    per);
}

static bool read_pattern(const struct mpn_dilution *dilutions, size_t count, struct pattern *out,
                         struct err *err)
{
    if (count == 0 || count > MPN_DILUTIONS_MOST)
        return err_set(err, ERR_INVALID, "a most probable number wants 1 to %d dilutions",
                       MPN_DILUTIONS_MOST);

    out->count = count;
    for (size_t i = 0; i < count; i++) {
        const struct mpn_dilution *row = &dilutions[i];

        if (row->tubes < 1 || row->tubes > MPN_TUBES_MOST)
            return err_set(err, ERR_INVALID, "dilution %zu wants 1 to %d tubes", i + 1,
                           MPN_TUBES_MOST);
        if (row->positive < 0 || row->positive > row->tubes)
            return err_set(err, ERR_INVALID, "dilution %zu has %d positive tubes of %d", i + 1,
                           row->positive, row->tubes);
        if (amount_sign(row->amount) <= 0)
            return err_set(err, ERR_INVALID, "dilution %zu has no amount of sample", i + 1);
        out->rows[i] =
            (struct tubes){.n = row->tubes, .x = row->positive, .z = amount_double(row->amount)};
    }

    if (sum_over(out, all) < 2)
        return err_set(err, ERR_INVALID, "a most probable number wants two tubes at least");

    return true;
}

bool most_probable_number(struct arena *mem, const struct mpn_dilution *dilutions, size_t count,
                          struct amount per, struct mpn *out, struct err *err)
{
    const struct rounding two_figures = {ROUND_HALF_UP, ROUND_TO_FIGURES, 2};
    struct pattern pattern = {.count = 0};
    struct mpn found = {.kind = MPN_NUMBER};

    if (!read_pattern(dilutions, count, &pattern, err))
        return false;
    if (amount_sign(per) <= 0)
        return err_set(err, ERR_INVALID, "a most probable number is told per an amount above 0");

    if (sum_over(&pattern, positives) == 0)
        work_out_less(mem, &pattern, amount_double(per), &found);
    else if (sum_over(&pattern, negatives) == 0)
        work_out_greater(mem, &pattern, amount_double(per), &found);
    else
        work_out_number(mem, &pattern, amount_double(per), &found);
    found.reported = exact_round(mem, found.number, two_figures);
    *out = found;

    return true;
}

#include "measure/line_fit.h"

#include <math.h>

enum { FRACTION_STEPS_MAX = 1000, HALVINGS = 200 };

#define BOTH_TAILS 0.975
#define TINY 1e-300

/* One step of the modified Lentz method: never divides by 0. */
static double away_from_zero(double value)
{
    return fabs(value) < TINY ? TINY : value;
}

/* The continued fraction of the incomplete beta function, DLMF 8.17.22. */
static double beta_fraction(double a, double b, double x)
{
    double c = 1;
    double d = 1 / away_from_zero(1 - (a + b) * x / (a + 1));
    double h = d;

    for (int m = 1; m <= FRACTION_STEPS_MAX; m++) {
        double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));

        d = 1 / away_from_zero(1 + even * d);
        c = away_from_zero(1 + even / c);
        h *= d * c;
        d = 1 / away_from_zero(1 + odd * d);
        c = away_from_zero(1 + odd / c);
        h *= d * c;
        if (fabs(d * c - 1) < 1e-15)
            break;
    }

    return h;
}

/* Regularised incomplete beta I_x(a, b), with y = 1 - x given so that nothing is lost near 1. */
static double beta_share(double a, double b, double x, double y)
{
    int sign = 0;
    double logs =
        a * log(x) + b * log(y) + lgamma_r(a + b, &sign) - lgamma_r(a, &sign) - lgamma_r(b, &sign);

    if (x <= (a + 1) / (a + b + 2))
        return exp(logs) * beta_fraction(a, b, x) / a;

    return 1 - exp(logs) * beta_fraction(b, a, y) / b;
}

/* The upper tail beyond t > 0: DLMF 8.17, I_x(v/2, 1/2) / 2 with x = v / (v + t^2). */
static double upper_tail(double t, double degrees)
{
    double whole = degrees + t * t;

    return beta_share(degrees / 2, 0.5, degrees / whole, t * t / whole) / 2;
}

/* t of an upper tail of 0 < tail < 0.5. */
static double tail_point(double tail, double degrees)
{
    double low = 0;
    double high = 1;

    while (high < 1e150 && upper_tail(high, degrees) > tail)
        high *= 2;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = low + (high - low) / 2;

        if (middle <= low || middle >= high)
            break;
        if (upper_tail(middle, degrees) > tail)
            low = middle;
        else
            high = middle;
    }

    return low + (high - low) / 2;
}

bool line_fit_student_t(double p, double degrees, double *out, struct err *err)
{
    if (!isfinite(p) || p <= 0 || p >= 1)
        return err_set(err, ERR_INVALID, "probability is %.6g: it must be between 0 and 1", p);
    if (!isfinite(degrees) || degrees <= 0)
        return err_set(err, ERR_INVALID, "degrees of freedom are %.6g: they must be above 0",
                       degrees);

    if (p == 0.5)
        *out = 0;
    else if (p < 0.5)
        *out = -tail_point(p, degrees);
    else
        *out = tail_point(1 - p, degrees);

    return true;
}

/* Sums about the means. */
struct sums {
    double x_mean;
    double y_mean;
    double xx;
    double xy;
};

static struct sums sums_of(const struct line_point *points, size_t count)
{
    struct sums sums = {0};

    for (size_t i = 0; i < count; i++) {
        sums.x_mean += points[i].x / (double)count;
        sums.y_mean += points[i].y / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        double dx = points[i].x - sums.x_mean;

        sums.xx += dx * dx;
        sums.xy += dx * (points[i].y - sums.y_mean);
    }

    return sums;
}

static bool points_hold(const struct line_point *points, size_t count, struct err *err)
{
    bool apart = false;

    if (count < LINE_FIT_POINTS_MIN)
        return err_set(err, ERR_INVALID, "there are %zu points: a line needs at least %d", count,
                       LINE_FIT_POINTS_MIN);

    for (size_t i = 0; i < count; i++) {
        if (!isfinite(points[i].x) || !isfinite(points[i].y))
            return err_set(err, ERR_INVALID, "point %zu of %zu is no number", i + 1, count);
        apart = apart || points[i].x != points[0].x;
    }
    if (!apart)
        return err_set(err, ERR_INVALID, "all %zu points are at %.6g: a line needs two places",
                       count, points[0].x);

    return true;
}

bool line_fit(const struct line_point *points, size_t count, struct line_fit *out, struct err *err)
{
    double t = 0;
    double squares = 0;

    if (!points_hold(points, count, err) ||
        !line_fit_student_t(BOTH_TAILS, (double)count - 2, &t, err))
        return false;

    struct sums sums = sums_of(points, count);
    struct line_fit fit = {.points = count, .slope = sums.xy / sums.xx};

    fit.intercept = sums.y_mean - fit.slope * sums.x_mean;
    for (size_t i = 0; i < count; i++) {
        double left = points[i].y - sums.y_mean - fit.slope * (points[i].x - sums.x_mean);

        squares += left * left;
    }
    fit.residual_sd = sqrt(squares / ((double)count - 2));
    fit.slope_se = fit.residual_sd / sqrt(sums.xx);
    fit.intercept_se =
        fit.residual_sd * sqrt(1 / (double)count + sums.x_mean * sums.x_mean / sums.xx);
    fit.slope_low = fit.slope - t * fit.slope_se;
    fit.slope_high = fit.slope + t * fit.slope_se;
    *out = fit;

    return true;
}

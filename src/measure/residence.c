#include "measure/residence.h"

#include <math.h>

#include "measure/input_range.h"

enum { HALVINGS = 200, TERMS_MAX = 10000 };

bool residence_time(double volume_m3, double flow_m3_per_h, double *hours, struct err *err)
{
    if (!input_positive("volume", volume_m3, "m3", err) ||
        !input_not_negative("flow", flow_m3_per_h, "m3/h", err))
        return false;
    if (flow_m3_per_h == 0)
        return err_set(err, ERR_INVALID,
                       "flow is 0 m3/h: residence time is undefined where nothing flows, "
                       "it must be above 0");

    *hours = volume_m3 / flow_m3_per_h;

    return true;
}

bool residence_exchanges(double volume_m3, double flow_m3_per_h, double *per_day, struct err *err)
{
    if (!input_positive("volume", volume_m3, "m3", err) ||
        !input_not_negative("flow", flow_m3_per_h, "m3/h", err))
        return false;

    *per_day = 24 * flow_m3_per_h / volume_m3;

    return true;
}

bool residence_plan_area(double volume_m3, double depth_m, double *m2, struct err *err)
{
    if (!input_positive("volume", volume_m3, "m3", err) ||
        !input_positive("depth", depth_m, "m", err))
        return false;

    *m2 = volume_m3 / depth_m;

    return true;
}

static bool tanks_fit(int tanks, struct err *err)
{
    return input_within("number of tanks", tanks, 1, RESIDENCE_TANKS_MAX, "tanks", err);
}

/* exp(-x) times the first terms of exp(x): the chance that fewer than `tanks` steps happened. */
static double share_left(int tanks, double turnovers)
{
    double x = tanks * turnovers;
    double term = exp(-x);
    double sum = term;

    for (int i = 1; i < tanks; i++) {
        term *= x / i;
        sum += term;
    }

    return sum;
}

bool residence_share_left(int tanks, double turnovers, double *share, struct err *err)
{
    if (!tanks_fit(tanks, err) || !input_within("turnovers", turnovers, 0, 1e6, "turnovers", err))
        return false;

    *share = share_left(tanks, turnovers);

    return true;
}

bool residence_turnovers_for(int tanks, double share, double *turnovers, struct err *err)
{
    if (!tanks_fit(tanks, err))
        return false;
    if (!isfinite(share) || share < 0 || share >= 1)
        return err_set(err, ERR_INVALID,
                       "share replaced is %.6g: it must be from 0 to below 1; all of it takes "
                       "for ever",
                       share);

    if (tanks == 1) {
        *turnovers = -log1p(-share);
        return true;
    }

    double low = 0;
    double high = -log1p(-share); /* more tanks replace little late and much soon after ... */

    while (share_left(tanks, high) > 1 - share) /* ... so that one tank may still be quicker */
        high = high * 2 + 1;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = low + (high - low) / 2;

        if (share_left(tanks, middle) > 1 - share)
            low = middle;
        else
            high = middle;
    }
    *turnovers = low;

    return true;
}

bool residence_after_step(double c0, double c_in, double turnovers, double *c, struct err *err)
{
    if (!input_finite("start", c0, "(its unit)", err) ||
        !input_finite("inflow", c_in, "(its unit)", err) ||
        !input_not_negative("turnovers", turnovers, "turnovers", err))
        return false;

    *c = c_in + (c0 - c_in) * exp(-turnovers);

    return true;
}

bool residence_first_order_left(double per_h, double residence_h, double *share, struct err *err)
{
    if (!input_not_negative("loss", per_h, "1/h", err) ||
        !input_not_negative("residence time", residence_h, "h", err))
        return false;

    *share = 1 / (1 + per_h * residence_h);

    return true;
}

/*
 * Regularised lower incomplete gamma P(a, x) for a from 1 to RESIDENCE_STATIONS_MAX by its series,
 * DLMF 8.7.1: every term is positive, so nothing cancels.
 */
static double gamma_share(double a, double x)
{
    double term = 1 / a;
    double sum = term;

    if (x <= 0)
        return 0;

    for (int i = 1; i < TERMS_MAX && term > sum * 1e-16; i++) {
        term *= x / (a + i);
        sum += term;
    }

    int sign = 0;

    return sum * exp(-x + a * log(x) - lgamma_r(a, &sign));
}

/* The time by which a share of a change has come through, over the nominal time. */
static double arrival(double tanks, double share)
{
    double low = 0;
    double high = tanks + 20 * sqrt(tanks) + 20;

    for (int i = 0; i < HALVINGS; i++) {
        double middle = low + (high - low) / 2;

        if (gamma_share(tanks, middle) < share)
            low = middle;
        else
            high = middle;
    }

    return low / tanks;
}

bool residence_of_chain(const struct residence_station *stations, size_t count,
                        struct residence_delay *out, struct err *err)
{
    struct residence_delay delay = {0};
    double squares = 0;

    if (count == 0 || count > RESIDENCE_STATIONS_MAX)
        return err_set(err, ERR_INVALID, "the chain has %zu stations: it must have 1 to %d", count,
                       RESIDENCE_STATIONS_MAX);

    for (size_t i = 0; i < count; i++) {
        double hours = 0;

        if (!residence_time(stations[i].volume_m3, stations[i].flow_m3_per_h, &hours, err))
            return err_wrap(err, "%s", stations[i].name);
        delay.nominal_h += hours;
        squares += hours * hours;
    }

    delay.spread_h = sqrt(squares);
    delay.tanks = delay.nominal_h * delay.nominal_h / squares;
    delay.tenth_h = delay.nominal_h * arrival(delay.tanks, 0.1);
    delay.half_h = delay.nominal_h * arrival(delay.tanks, 0.5);
    delay.nine_tenths_h = delay.nominal_h * arrival(delay.tanks, 0.9);
    *out = delay;

    return true;
}

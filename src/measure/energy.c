#include "measure/energy.h"

#include <math.h>

#include "measure/input_range.h"

#define SILENCE_S_MAX 1e10 /* longer than any record */

const char *energy_source_name(enum energy_source source)
{
    return source == ENERGY_BY_METER ? "by meter" : "by rated power";
}

bool energy_by_rated_power(double rated_kw, double hours, double *kwh, struct err *err)
{
    if (!input_not_negative("rated power", rated_kw, "kW", err) ||
        !input_not_negative("hours", hours, "h", err))
        return false;

    *kwh = rated_kw * hours;

    return true;
}

bool energy_per_thousand(double kwh, double animals, double *out, struct err *err)
{
    if (!input_not_negative("energy", kwh, "kWh", err) ||
        !input_positive("animals", animals, "animals", err))
        return false;

    *out = kwh / animals * 1000;

    return true;
}

bool energy_mean_flow(double running_flow, double share_on, double *out, struct err *err)
{
    if (!input_not_negative("flow", running_flow, "(its unit)", err) ||
        !input_within("share of the time", share_on, 0, 1, "(a share)", err))
        return false;

    *out = running_flow * share_on;

    return true;
}

static bool states_hold(const struct energy_state *states, size_t count, struct err *err)
{
    for (size_t i = 0; i < count; i++) {
        if (states[i].at == INSTANT_NONE)
            return err_set(err, ERR_INVALID, "state %zu of %zu has no time", i + 1, count);
        if (i > 0 && states[i].at <= states[i - 1].at)
            return err_set(err, ERR_INVALID, "state %zu of %zu is not later than the one before",
                           i + 1, count);
    }

    return true;
}

/* Hours of [begin, end) that lie in [from, to). */
static double hours_inside(instant begin, instant end, instant from, instant to)
{
    instant first = begin > from ? begin : from;
    instant last = end < to ? end : to;

    return last > first ? (double)(last - first) / (double)HOUR_US : 0;
}

bool energy_hours_run(const struct energy_state *states, size_t count, instant from, instant to,
                      double longest_silence_s, struct energy_hours *out, struct err *err)
{
    struct energy_hours hours = {0};

    if (from == INSTANT_NONE || to == INSTANT_NONE || to < from)
        return err_set(err, ERR_INVALID, "the span ends before it begins");
    if (!input_positive("longest silence", longest_silence_s, "s", err) ||
        !input_within("longest silence", longest_silence_s, 0, SILENCE_S_MAX, "s", err) ||
        !states_hold(states, count, err))
        return false;

    instant silence = (instant)llround(longest_silence_s * (double)SECOND_US);

    for (size_t i = 0; i < count; i++) {
        instant end = states[i].at > INT64_MAX - silence ? INT64_MAX : states[i].at + silence;

        if (i + 1 < count && states[i + 1].at < end)
            end = states[i + 1].at;
        *(states[i].on ? &hours.on_h : &hours.off_h) += hours_inside(states[i].at, end, from, to);
    }
    hours.unknown_h = fmax(hours_inside(from, to, from, to) - hours.on_h - hours.off_h, 0);
    *out = hours;

    return true;
}

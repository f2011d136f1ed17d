#include "measure/mixing_trial.h"

#include <math.h>

#include "measure/input_range.h"
#include "measure/residence.h"

/* Readings as logarithms of their distance from the inflow. */
static bool distances(struct arena *mem, const struct mixing_trial *trial, struct line_point **out,
                      struct err *err)
{
    struct line_point *points = ARENA_ARRAY(mem, struct line_point, trial->count);
    bool above = trial->count > 0 && trial->readings[0].value > trial->inflow;

    for (size_t i = 0; i < trial->count; i++) {
        const struct mixing_reading *r = &trial->readings[i];
        double distance = above ? r->value - trial->inflow : trial->inflow - r->value;

        if (!input_not_negative("time since the start", r->after_h, "h", err))
            return err_wrap(err, "reading %zu of %zu", i + 1, trial->count);
        if (!isfinite(distance) || distance <= 0)
            return err_set(err, ERR_INVALID,
                           "reading %zu of %zu is %.6g: it must be %s the inflow's %.6g", i + 1,
                           trial->count, r->value, above ? "above" : "below", trial->inflow);
        points[i] = (struct line_point){r->after_h, log(distance)};
    }
    *out = points;

    return true;
}

bool mixing_trial_fit(struct arena *mem, const struct mixing_trial *trial,
                      struct mixing_result *out, struct err *err)
{
    struct mixing_result result = {0};
    struct line_point *points = NULL;

    if (!residence_time(trial->volume_m3, trial->flow_m3_per_h, &result.nominal_h, err) ||
        !input_finite("inflow", trial->inflow, "(its unit)", err) ||
        !distances(mem, trial, &points, err) || !line_fit(points, trial->count, &result.fit, err))
        return err_wrap(err, "mixing trial");
    if (result.fit.slope >= 0)
        return err_set(err, ERR_INVALID,
                       "mixing trial: the slope is %.6g 1/h: it must be below 0, readings must "
                       "come nearer to the inflow",
                       result.fit.slope);

    result.real_h = -1 / result.fit.slope;
    result.mixed_share = result.real_h / result.nominal_h;
    result.dead_share = 1 - result.mixed_share;
    result.share_se = result.mixed_share * result.fit.slope_se / -result.fit.slope;
    result.share_low = -1 / result.fit.slope_low / result.nominal_h;
    result.share_high =
        result.fit.slope_high < 0 ? -1 / result.fit.slope_high / result.nominal_h : HUGE_VAL;
    result.over_one = result.mixed_share > 1;
    *out = result;

    return true;
}

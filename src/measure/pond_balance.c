#include "measure/pond_balance.h"

#include "measure/input_range.h"

#define M_PER_MM 0.001

bool pond_depth_volume(double depth_mm, double area_m2, double *m3, struct err *err)
{
    if (!input_not_negative("depth", depth_mm, "mm", err) ||
        !input_positive("area", area_m2, "m2", err))
        return false;

    *m3 = depth_mm * M_PER_MM * area_m2;

    return true;
}

bool pond_change(const struct pond_terms *terms, double *m3, struct err *err)
{
    const struct pond_terms *t = terms;

    if (!input_positive("area", t->area_m2, "m2", err) ||
        !input_not_negative("inflow", t->inflow_m3, "m3", err) ||
        !input_not_negative("rain", t->rain_mm, "mm", err) ||
        !input_not_negative("runoff", t->runoff_m3, "m3", err) ||
        !input_not_negative("evaporation", t->evaporation_mm, "mm", err) ||
        !input_not_negative("seepage", t->seepage_m3, "m3", err) ||
        !input_not_negative("outflow", t->outflow_m3, "m3", err))
        return false;

    *m3 = t->inflow_m3 + t->runoff_m3 - t->seepage_m3 - t->outflow_m3 +
          (t->rain_mm - t->evaporation_mm) * M_PER_MM * t->area_m2;

    return true;
}

bool pond_volume_after(double before_m3, const struct pond_terms *terms, double *m3,
                       struct err *err)
{
    double change = 0;

    if (!input_not_negative("volume before", before_m3, "m3", err) ||
        !pond_change(terms, &change, err))
        return false;
    if (before_m3 + change < 0)
        return err_set(err, ERR_INVALID,
                       "the pond held %.6g m3 and loses %.6g m3: a term must be wrong", before_m3,
                       -change);

    *m3 = before_m3 + change;

    return true;
}

bool pond_evaporation_from_pan(double pan_mm, double factor, double *mm, struct err *err)
{
    if (!input_not_negative("pan evaporation", pan_mm, "mm", err) ||
        !input_positive("pan factor", factor, "(no unit)", err) ||
        !input_within("pan factor", factor, 0, 1, "(no unit)", err))
        return false;

    *mm = pan_mm * factor;

    return true;
}

bool pond_salinity_after(double salinity, double before_m3, double after_m3, double *out,
                         struct err *err)
{
    if (!input_not_negative("salinity", salinity, "(its unit)", err) ||
        !input_positive("volume before", before_m3, "m3", err) ||
        !input_positive("volume after", after_m3, "m3", err))
        return false;

    *out = salinity * before_m3 / after_m3;

    return true;
}

bool pond_salinity_steady(double inflow_m3_per_d, double inflow_salinity, double rain_m3_per_d,
                          double evaporation_m3_per_d, double *out, struct err *err)
{
    double left = inflow_m3_per_d + rain_m3_per_d - evaporation_m3_per_d;

    if (!input_positive("inflow", inflow_m3_per_d, "m3/day", err) ||
        !input_not_negative("salinity of the inflow", inflow_salinity, "(its unit)", err) ||
        !input_not_negative("rain", rain_m3_per_d, "m3/day", err) ||
        !input_not_negative("evaporation", evaporation_m3_per_d, "m3/day", err))
        return false;
    if (!(left > 0))
        return err_set(err, ERR_INVALID,
                       "evaporation is %.6g m3/day: it must be below the %.6g m3/day of inflow and "
                       "rain, or salinity never becomes steady",
                       evaporation_m3_per_d, inflow_m3_per_d + rain_m3_per_d);

    *out = inflow_m3_per_d * inflow_salinity / left;

    return true;
}

bool pond_mix(const struct pond_flow *flows, size_t count, double *out, struct err *err)
{
    double total = 0;
    double carried = 0;

    for (size_t i = 0; i < count; i++) {
        if (!input_not_negative("flow", flows[i].flow, "(its unit)", err) ||
            !input_finite("value", flows[i].value, "(its unit)", err))
            return err_wrap(err, "flow %zu of %zu", i + 1, count);
        total += flows[i].flow;
        carried += flows[i].flow * flows[i].value;
    }
    if (!input_positive("total flow", total, "(its unit)", err))
        return false;

    *out = carried / total;

    return true;
}

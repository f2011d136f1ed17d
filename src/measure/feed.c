#include "measure/feed.h"

#include <math.h>

#include "measure/input_range.h"

#define ML_PER_M3 1e6

bool feed_uptake(const struct feed_line *line, struct feed_uptake *out, struct err *err)
{
    struct feed_uptake uptake = {0};

    if (!input_not_negative("flow", line->flow_m3_per_h, "m3/h", err) ||
        !input_not_negative("feed at the inlet", line->inlet, "(its unit)", err) ||
        !input_not_negative("feed at the outlet", line->outlet, "(its unit)", err) ||
        (line->pond_known &&
         !input_not_negative("feed in the pond", line->pond, "(its unit)", err)))
        return false;

    uptake.taken = line->flow_m3_per_h * (line->inlet - line->outlet);
    uptake.share_known = line->inlet > 0;
    if (uptake.share_known)
        uptake.share = (line->inlet - line->outlet) / line->inlet;
    uptake.on_the_way_known = line->pond_known && line->pond > 0;
    if (uptake.on_the_way_known)
        uptake.lost_on_the_way = (line->pond - line->inlet) / line->pond;
    *out = uptake;

    return true;
}

bool feed_cells_taken(double flow_m3_per_h, double inlet_per_ml, double outlet_per_ml,
                      double *cells_per_h, struct err *err)
{
    struct feed_line line = {
        .flow_m3_per_h = flow_m3_per_h, .inlet = inlet_per_ml, .outlet = outlet_per_ml};
    struct feed_uptake uptake;

    if (!feed_uptake(&line, &uptake, err))
        return false;

    *cells_per_h = uptake.taken * ML_PER_M3;

    return true;
}

static bool clearance_holds(double flow_m3_per_h, double inlet, double outlet, struct err *err)
{
    return input_not_negative("flow", flow_m3_per_h, "m3/h", err) &&
           input_positive("feed at the inlet", inlet, "(its unit)", err) &&
           input_positive("feed at the outlet", outlet, "(its unit)", err);
}

bool feed_clearance_mixed(double flow_m3_per_h, double inlet, double outlet, double *m3_per_h,
                          struct err *err)
{
    if (!clearance_holds(flow_m3_per_h, inlet, outlet, err))
        return false;

    *m3_per_h = flow_m3_per_h * (inlet - outlet) / outlet;

    return true;
}

bool feed_clearance_passing(double flow_m3_per_h, double inlet, double outlet, double *m3_per_h,
                            struct err *err)
{
    if (!clearance_holds(flow_m3_per_h, inlet, outlet, err))
        return false;

    *m3_per_h = flow_m3_per_h * log(inlet / outlet);

    return true;
}

static bool sizes_hold(const struct feed_size *rows, size_t count, double um, struct err *err)
{
    if (count < 2)
        return err_set(err, ERR_INVALID, "the table of sizes has %zu rows: it needs at least 2",
                       count);

    for (size_t i = 0; i < count; i++) {
        if (!input_not_negative("size", rows[i].um, "um", err) ||
            !input_within("share below", rows[i].share_below, 0, 1, "(a share)", err))
            return err_wrap(err, "row %zu of %zu", i + 1, count);
        if (i > 0 &&
            (rows[i].um <= rows[i - 1].um || rows[i].share_below < rows[i - 1].share_below))
            return err_set(err, ERR_INVALID,
                           "row %zu of %zu is %.6g um, %.6g: sizes must rise and shares not fall",
                           i + 1, count, rows[i].um, rows[i].share_below);
    }

    return input_within("size asked for", um, rows[0].um, rows[count - 1].um, "um", err);
}

bool feed_share_below(const struct feed_size *rows, size_t count, double um, double *share,
                      struct err *err)
{
    size_t above = 1;

    if (!sizes_hold(rows, count, um, err))
        return false;

    while (rows[above].um < um)
        above++;

    const struct feed_size *low = &rows[above - 1];
    const struct feed_size *high = &rows[above];

    *share = low->share_below +
             (high->share_below - low->share_below) * (um - low->um) / (high->um - low->um);

    return true;
}

/* The edges rise and the counts are counts; their sum. */
static bool bins_hold(const double *edges_um, const double *counts, size_t bin_count, double *total,
                      struct err *err)
{
    double sum = 0;

    for (size_t i = 0; i < bin_count; i++) {
        if (!input_not_negative("size", edges_um[i], "um", err) ||
            !input_not_negative("count", counts[i], "particles", err))
            return err_wrap(err, "bin %zu of %zu", i + 1, bin_count);
        if (!(edges_um[i + 1] > edges_um[i]))
            return err_set(err, ERR_INVALID,
                           "bin %zu of %zu goes from %.6g to %.6g um: edges must rise", i + 1,
                           bin_count, edges_um[i], edges_um[i + 1]);
        sum += counts[i];
    }
    if (!input_positive("number of particles", sum, "particles", err))
        return false;

    *total = sum;

    return true;
}

bool feed_share_below_counts(const double *edges_um, const double *counts, size_t bin_count,
                             double um, double *share, struct err *err)
{
    double total = 0;
    double below = 0;

    if (!bins_hold(edges_um, counts, bin_count, &total, err) ||
        !input_within("size asked for", um, edges_um[0], edges_um[bin_count], "um", err))
        return false;

    for (size_t i = 0; i < bin_count && edges_um[i] < um; i++) {
        double part = (um - edges_um[i]) / (edges_um[i + 1] - edges_um[i]);

        below += counts[i] * fmin(part, 1);
    }
    *share = below / total;

    return true;
}

bool feed_position_difference(const struct feed_positions *positions, struct feed_difference *out,
                              struct err *err)
{
    struct feed_difference difference = {0};

    if (!input_finite("reading at the ring", positions->ring, "(its unit)", err) ||
        !input_finite("reading at the centre", positions->centre, "(its unit)", err))
        return false;

    double mean = (positions->ring + positions->centre) / 2;

    difference.ring_less_centre = positions->ring - positions->centre;
    difference.share_known = mean != 0;
    if (difference.share_known)
        difference.share = difference.ring_less_centre / mean;
    *out = difference;

    return true;
}

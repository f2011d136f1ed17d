#include "measure/oxygen_budget.h"

#include <math.h>

#include "measure/input_range.h"

static bool tank_holds(const struct oxygen_tank *tank, struct err *err)
{
    return input_positive("volume", tank->volume_m3, "m3", err) &&
           input_not_negative("flow", tank->flow_m3_per_h, "m3/h", err) &&
           input_not_negative("oxygen of the inflow", tank->inflow_mg_per_l, "mg/L", err) &&
           input_not_negative("oxygen at saturation", tank->saturation_mg_per_l, "mg/L", err) &&
           input_not_negative("reaeration", tank->reaeration_per_h, "1/h", err) &&
           input_not_negative("respiration", tank->respiration_g_per_h, "g/h", err);
}

/* Q + K V: what draws the tank towards where it settles, in m3/h. */
static double pull(const struct oxygen_tank *tank)
{
    return tank->flow_m3_per_h + tank->reaeration_per_h * tank->volume_m3;
}

static double settles_at(const struct oxygen_tank *tank)
{
    return (tank->flow_m3_per_h * tank->inflow_mg_per_l +
            tank->reaeration_per_h * tank->volume_m3 * tank->saturation_mg_per_l -
            tank->respiration_g_per_h) /
           pull(tank);
}

bool oxygen_steady(const struct oxygen_tank *tank, double *mg_per_l, struct err *err)
{
    if (!tank_holds(tank, err))
        return false;
    if (!(pull(tank) > 0))
        return err_set(err, ERR_INVALID,
                       "flow is 0 m3/h and reaeration is 0 1/h: one must be above 0, or oxygen "
                       "settles nowhere");

    *mg_per_l = settles_at(tank);

    return true;
}

bool oxygen_after(const struct oxygen_tank *tank, double start_mg_per_l, double hours,
                  double *mg_per_l, struct err *err)
{
    if (!tank_holds(tank, err) ||
        !input_not_negative("oxygen at the start", start_mg_per_l, "mg/L", err) ||
        !input_not_negative("time", hours, "h", err))
        return false;

    double after = start_mg_per_l - tank->respiration_g_per_h * hours / tank->volume_m3;

    if (pull(tank) > 0) {
        double settles = settles_at(tank);

        after = settles + (start_mg_per_l - settles) * exp(-pull(tank) * hours / tank->volume_m3);
    }
    *mg_per_l = fmax(after, 0);

    return true;
}

bool oxygen_flow_needed(const struct oxygen_tank *tank, double hold_mg_per_l, double *m3_per_h,
                        struct err *err)
{
    if (!tank_holds(tank, err) || !input_not_negative("oxygen to hold", hold_mg_per_l, "mg/L", err))
        return false;

    double wanted = tank->respiration_g_per_h - tank->reaeration_per_h * tank->volume_m3 *
                                                    (tank->saturation_mg_per_l - hold_mg_per_l);

    if (wanted <= 0) {
        *m3_per_h = 0;
        return true;
    }
    if (tank->inflow_mg_per_l <= hold_mg_per_l)
        return err_set(err, ERR_INVALID,
                       "oxygen of the inflow is %.6g mg/L: it must be above the %.6g mg/L to hold, "
                       "or no flow can hold it",
                       tank->inflow_mg_per_l, hold_mg_per_l);

    *m3_per_h = wanted / (tank->inflow_mg_per_l - hold_mg_per_l);

    return true;
}

/* With reaeration the fall bends towards where it settles. */
static void fall_with_air(const struct oxygen_tank *tank, double start, double floor,
                          struct oxygen_floor_time *time)
{
    double k = tank->reaeration_per_h;

    time->settles = true;
    time->settles_mg_per_l =
        tank->saturation_mg_per_l - tank->respiration_g_per_h / (k * tank->volume_m3);
    if (time->settles_mg_per_l >= floor)
        return;

    time->answer = OXYGEN_FLOOR_REACHED;
    time->hours = log1p((start - floor) / (floor - time->settles_mg_per_l)) / k;
}

static void fall_without_air(const struct oxygen_tank *tank, double start, double floor,
                             struct oxygen_floor_time *time)
{
    if (tank->respiration_g_per_h == 0)
        return;

    time->answer = OXYGEN_FLOOR_REACHED;
    time->hours = tank->volume_m3 * (start - floor) / tank->respiration_g_per_h;
}

bool oxygen_time_to_floor(const struct oxygen_tank *tank, double start_mg_per_l,
                          double floor_mg_per_l, struct oxygen_floor_time *out, struct err *err)
{
    struct oxygen_floor_time time = {.answer = OXYGEN_FLOOR_NEVER};

    if (!tank_holds(tank, err) ||
        !input_not_negative("oxygen at the start", start_mg_per_l, "mg/L", err) ||
        !input_not_negative("floor", floor_mg_per_l, "mg/L", err))
        return false;

    if (tank->reaeration_per_h > 0)
        fall_with_air(tank, start_mg_per_l, floor_mg_per_l, &time);
    else
        fall_without_air(tank, start_mg_per_l, floor_mg_per_l, &time);

    if (start_mg_per_l <= floor_mg_per_l) {
        time.answer = OXYGEN_FLOOR_AT_ALREADY;
        time.hours = 0;
    }
    *out = time;

    return true;
}

bool oxygen_reaeration_at(double k20_per_h, double temperature_c, double *per_h, struct err *err)
{
    if (!input_not_negative("reaeration at 20 degC", k20_per_h, "1/h", err) ||
        !input_within("temperature", temperature_c, -2, 45, "degC", err))
        return false;

    *per_h = k20_per_h * pow(1.024, temperature_c - 20);

    return true;
}

/*
 * Tanks of a month: volume, plan area, flow, nominal residence time, exchanges a day, washout, the
 * difference between ring and centre, and how a change at an intake reaches a discharge.
 */
#ifndef APP_TANK_MONTH_H
#define APP_TANK_MONTH_H

#include "app/farm_flows.h"
#include "measure/feed.h"
#include "measure/mixing_trial.h"

/* The share of the water that washout replaces. */
#define TANK_WASHOUT_SHARE 0.95

/* Mean of one parameter at the positions `ring` and `centre` of a tank. */
struct tank_difference {
    const char *parameter;
    const char *unit;
    struct feed_positions mean;
    struct feed_difference difference;
    size_t ring_readings;
    size_t centre_readings;
};

struct tank_figures {
    const struct farm_tank *tank;
    double volume_m3;
    bool area_known; /* a depth is told */
    double area_m2;
    const struct station_flow *flow;
    /* Where the flow is known and above 0; else `why_not`. */
    bool times_known;
    const char *why_not;
    double nominal_h;
    double exchanges_per_day;
    double washout_h;
    struct tank_difference *differences;
    size_t difference_count;
};

struct tank_month {
    instant first;
    instant until; /* end of the month, or now */
    struct farm_flows flows;
    struct tank_figures *tanks;
    size_t tank_count;
};

/* `station`: of one tank; NULL: all. ERR_NOT_FOUND: no such tank, or none at all. */
MUST_CHECK bool tank_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const char *station, day_number month, instant now,
                                struct tank_month *out, struct err *err);

/*
 * The mixed share of a tank from a dye or salt trial: readings of `parameter` in it from `first`
 * to `until`, which tend to `tends_to`. ERR_INVALID says why it can't be worked out.
 */
MUST_CHECK bool tank_trial_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const char *station, const char *parameter, double tends_to,
                                instant first, instant until, struct mixing_result *out,
                                struct err *err);

/* The tank of that station. ERR_NOT_FOUND, with the nearest. */
MUST_CHECK bool tank_require(struct arena *mem, const struct farm *farm, const char *station,
                             const struct farm_tank **out, struct err *err);

/* Animals in it: the last count of a reading before `until`, else that of the farm file. */
MUST_CHECK bool tank_animals(struct place_reader *reader, const struct farm_tank *tank,
                             instant first, instant until, bool *known, double *animals,
                             struct err *err);

/* First instant of the month, and of the next one or now, whichever is earlier. ERR_INVALID: the
 * month has not begun. */
MUST_CHECK bool month_span(const struct farm *farm, day_number month, instant now, instant *first,
                           instant *until, struct err *err);

#endif

/*
 * Energy of a month: hours that each tank's pump ran, by its counter of hours or else the record of
 * its state, and kWh by its meter, or where it has none by rated power times hours, which is an
 * estimate. One pump of which nothing can be told says why and stops no other.
 */
#ifndef APP_ENERGY_MONTH_H
#define APP_ENERGY_MONTH_H

#include "app/place_values.h"
#include "measure/energy.h"

struct energy_figures {
    const struct farm_tank *tank;
    double span_h;
    bool hours_told;     /* the farm file says where its hours or its state are read */
    bool hours_by_meter; /* counted, not from the state */
    struct energy_hours hours;
    bool kwh_known;
    enum energy_source source;
    double kwh;
    double metered_share; /* by meter: of the span, 0 to 1 */
    const char *words;    /* what the kWh rest on, or why they are not known */
    bool animals_known;
    double animals;
    double kwh_per_thousand; /* where kWh and animals are known */
    int rows_waiting;        /* set aside, that are or may be of its pump: in none of the figures */
};

struct energy_month {
    struct energy_figures *items;
    size_t count;
};

/* ERR_NOT_FOUND: no tank of the farm file has a pump. ERR_INVALID: the month has not begun. */
MUST_CHECK bool energy_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                  day_number month, instant now, struct energy_month *out,
                                  struct err *err);

#endif

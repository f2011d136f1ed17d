#include "app/tank_month.h"

#include "base/str.h"

bool tank_require(struct arena *mem, const struct farm *farm, const char *station,
                  const struct farm_tank **out, struct err *err)
{
    const char **stations = ARENA_ARRAY(mem, const char *, farm->tanks.count);

    *out = farm_find_tank(farm, station);
    if (*out)
        return true;
    for (size_t i = 0; i < farm->tanks.count; i++)
        stations[i] = farm->tanks.items[i].station;

    const char *nearest = str_nearest(station, stations, farm->tanks.count);

    err_set(err, ERR_NOT_FOUND, "the farm file has no tank '%s'", station);
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);

    return err_hint(err,
                    "Tanks and ponds are listed under `tanks:`; weirbook words tanks says how.");
}

bool month_span(const struct farm *farm, day_number month, instant now, instant *first,
                instant *until, struct err *err)
{
    instant end = zone_day_start(farm->zone, month_next(month));

    *first = zone_day_start(farm->zone, month_first(month));
    *until = end < now ? end : now;
    if (*until > *first)
        return true;
    err_set(err, ERR_INVALID, "that month has not begun yet");

    return err_hint(err, "Name a month that has begun, as 2026-03.");
}

/* Counts are months apart. */
enum { ANIMALS_REACH_DAYS = 366 };

bool tank_animals(struct place_reader *reader, const struct farm_tank *tank, instant first,
                  instant until, bool *known, double *animals, struct err *err)
{
    struct place_values counts = {0};

    if (!place_values_load(reader, &tank->still_water.stock, NULL,
                           first - ANIMALS_REACH_DAYS * DAY_US, until, &counts, err))
        return false;
    *known = tank->animals.number.coefficient > 0;
    *animals = decimal_double(tank->animals.number);
    for (size_t i = 0; i < counts.count; i++) {
        if (counts.items[i].in_doubt || counts.items[i].value <= 0.0)
            continue;
        *known = true;
        *animals = counts.items[i].value;
    }

    return true;
}

/* --- ring and centre ------------------------------------------------------------------------- */

/* The first series of each parameter at the ring. */
static bool ring_parameter(const struct place_reader *reader, const char *station, size_t nth)
{
    const struct series_row *row = &reader->series.items[nth];

    if (!str_equal(row->station, station) || !str_equal(row->position, "ring"))
        return false;
    for (size_t i = 0; i < nth; i++) {
        const struct series_row *earlier = &reader->series.items[i];

        if (str_equal(earlier->station, station) && str_equal(earlier->position, "ring") &&
            str_equal(earlier->parameter, row->parameter))
            return false;
    }

    return true;
}

static bool difference_read(struct place_reader *reader, const char *station, const char *parameter,
                            const struct tank_month *month, struct tank_figures *tank,
                            struct err *err)
{
    struct tank_difference difference = {.parameter = parameter};
    struct farm_place ring = {station, "ring", parameter};
    struct farm_place centre = {station, "centre", parameter};
    struct place_values at_ring = {0};
    struct place_values at_centre = {0};
    const struct parameter *known =
        parameter_find(&reader->farm->farm->known_parameters, parameter);
    struct err no_number = ERR_INIT;

    if (!known || known->kind != PARAMETER_NUMBER)
        return true;
    if (!place_values_load(reader, &ring, NULL, month->first, month->until, &at_ring, err) ||
        !place_values_load(reader, &centre, NULL, month->first, month->until, &at_centre, err))
        return false;
    difference.unit = known->unit;
    if (place_mean(&at_ring, &difference.mean.ring, &difference.ring_readings) &&
        place_mean(&at_centre, &difference.mean.centre, &difference.centre_readings) &&
        feed_position_difference(&difference.mean, &difference.difference, &no_number))
        tank->differences[tank->difference_count++] = difference;

    return true;
}

static bool differences_read(struct place_reader *reader, const struct tank_month *month,
                             struct tank_figures *tank, struct err *err)
{
    const char *station = tank->tank->station;

    tank->differences = ARENA_ARRAY(reader->mem, struct tank_difference, reader->series.count);
    for (size_t i = 0; i < reader->series.count; i++) {
        if (ring_parameter(reader, station, i) &&
            !difference_read(reader, station, reader->series.items[i].parameter, month, tank, err))
            return false;
    }

    return true;
}

/* --- a tank ---------------------------------------------------------------------------------- */

static void times_work_out(struct tank_figures *tank)
{
    struct err err = ERR_INIT;
    double turnovers = 0.0;

    tank->why_not = tank->flow->words;
    if (!tank->flow->known)
        return;
    if (tank->flow->m3_per_h <= 0.0) {
        tank->why_not = "nothing flowed: residence time is undefined where nothing flows";
        return;
    }
    tank->times_known =
        residence_time(tank->volume_m3, tank->flow->m3_per_h, &tank->nominal_h, &err) &&
        residence_exchanges(tank->volume_m3, tank->flow->m3_per_h, &tank->exchanges_per_day,
                            &err) &&
        residence_turnovers_for(1, TANK_WASHOUT_SHARE, &turnovers, &err);
    tank->washout_h = turnovers * tank->nominal_h;
}

static bool tank_work_out(struct place_reader *reader, const struct tank_month *month,
                          const struct farm_tank *told, struct tank_figures *out, struct err *err)
{
    struct tank_figures tank = {.tank = told,
                                .volume_m3 = place_amount(reader, &told->volume, "m3"),
                                .flow = farm_flows_find(&month->flows, told->station)};

    tank.area_known = told->depth.unit != NULL;
    if (tank.area_known &&
        !residence_plan_area(tank.volume_m3, place_amount(reader, &told->depth, "m"), &tank.area_m2,
                             err))
        return err_wrap(err, "%s", told->station);
    times_work_out(&tank);
    if (!differences_read(reader, month, &tank, err))
        return false;
    *out = tank;

    return true;
}

static bool tanks_asked(struct arena *mem, const struct farm *farm, const char *station,
                        struct err *err)
{
    const struct farm_tank *tank = NULL;

    if (station)
        return tank_require(mem, farm, station, &tank, err);
    if (farm->tanks.count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND, "the farm file has no tanks");

    return err_hint(err, "Add them under `tanks:`; weirbook words tanks says how.");
}

bool tank_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const char *station, day_number month, instant now, struct tank_month *out,
                     struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct place_reader reader = {0};
    struct tank_month figures = {
        .tanks = ARENA_ARRAY(mem, struct tank_figures, farm->farm->tanks.count)};

    if (!tanks_asked(mem, farm->farm, station, err) ||
        !month_span(farm->farm, month, now, &figures.first, &figures.until, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &reader, err) ||
        !farm_flows_of(&reader, figures.first, figures.until, &figures.flows, err))
        return false;
    for (size_t i = 0; i < farm->farm->tanks.count; i++) {
        const struct farm_tank *tank = &farm->farm->tanks.items[i];

        if (station && !str_equal(station, tank->station))
            continue;
        if (!tank_work_out(&reader, &figures, tank, &figures.tanks[figures.tank_count++], err))
            return false;
    }
    *out = figures;

    return true;
}

/* --- a trial --------------------------------------------------------------------------------- */

static struct mixing_reading *trial_readings(struct arena *mem, const struct place_values *values,
                                             instant first, size_t *count)
{
    struct mixing_reading *readings = ARENA_ARRAY(mem, struct mixing_reading, values->count);

    *count = 0;
    for (size_t i = 0; i < values->count; i++) {
        const struct place_value *value = &values->items[i];

        if (!value->in_doubt && value->qualifier == '=')
            readings[(*count)++] = (struct mixing_reading){
                .after_h = (double)(value->at - first) / (double)HOUR_US, .value = value->value};
    }

    return readings;
}

bool tank_trial_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const char *station, const char *parameter, double tends_to, instant first,
                     instant until, struct mixing_result *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct farm_tank *tank = NULL;
    const struct parameter *known = NULL;
    struct farm_place place = {.station = station, .parameter = parameter};
    struct place_reader reader = {0};
    struct place_values values = {0};
    struct farm_flows flows = {0};

    if (!tank_require(mem, farm->farm, station, &tank, err) ||
        !parameter_require(&farm->farm->known_parameters, parameter, &known, err))
        return false;
    if (until <= first) {
        err_set(err, ERR_INVALID, "the trial ends before it begins");
        return err_hint(err, "Write the earlier time first.");
    }
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &reader, err) ||
        !place_values_load(&reader, &place, NULL, first, until + 1, &values, err) ||
        !farm_flows_of(&reader, first, until, &flows, err))
        return false;

    const struct station_flow *flow = farm_flows_find(&flows, station);
    struct mixing_trial trial = {.volume_m3 = place_amount(&reader, &tank->volume, "m3"),
                                 .inflow = tends_to};

    if (!flow->known)
        return err_set(err, ERR_INVALID, "the flow through %s during the trial is not known: %s",
                       station, flow->words);
    trial.flow_m3_per_h = flow->m3_per_h;
    trial.readings = trial_readings(mem, &values, first, &trial.count);

    if (trial.count < LINE_FIT_POINTS_MIN) {
        err_set(err, ERR_INVALID, "%zu readings of %s at %s lie in the trial, and %d are needed",
                trial.count, parameter, station, LINE_FIT_POINTS_MIN);
        return err_hint(err, "Take in the trial's file first, or name its span.");
    }
    if (mixing_trial_fit(mem, &trial, out, err))
        return true;

    return err_hint(err, "Begin after the first mixing, and name what the readings come near to.");
}

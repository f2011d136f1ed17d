#include "app/energy_month.h"

#include <math.h>

#include "app/tank_month.h"
#include "app/water_flow.h"
#include "base/str.h"

/* A state that the farm lets hold until the next one. */
static const double holds_for_ever_s = 400.0 * 86400.0;

/* Whether what the meter counts can be told in the unit: a farm file of before may say otherwise.
 */
static bool meter_counts(const struct place_reader *reader, const struct farm_place *meter,
                         const char *unit)
{
    const struct parameter *parameter =
        parameter_find(&reader->farm->farm->known_parameters, meter->parameter);
    const struct units *units = reader->farm->units;

    return unit_convertible(unit_named(units, parameter->unit), unit_named(units, unit));
}

/* By its counter of hours; nothing where it has none that was read. */
static bool hours_by_meter(struct place_reader *reader, instant first, instant until,
                           struct energy_figures *figures, struct err *err)
{
    const struct farm_place *meter = &figures->tank->pump.hours;
    struct meter_span span = {.first = first, .until = until};

    if (!meter->parameter || !meter_counts(reader, meter, "h"))
        return true;
    if (!meter_read(reader, meter, "h", &span, err))
        return false;

    double known_h = (double)span.known_us / (double)HOUR_US;

    figures->hours_told = true;
    figures->hours_by_meter = span.known_us > 0;
    figures->hours = (struct energy_hours){.on_h = span.amount,
                                           .off_h = fmax(known_h - span.amount, 0.0),
                                           .unknown_h = figures->span_h - known_h};

    return true;
}

static bool hours_work_out(struct place_reader *reader, instant first, instant until,
                           struct energy_figures *figures, struct err *err)
{
    const struct farm_pump *pump = &figures->tank->pump;
    int holds_s = reader->farm->farm->state_holds_s;
    struct place_states states = {0};
    struct energy_state *list;

    if (!hours_by_meter(reader, first, until, figures, err))
        return false;
    if (figures->hours_by_meter || !pump->state.parameter)
        return true;
    figures->hours_told = true;
    if (!place_states_load(reader, &pump->state, first, until, &states, err))
        return false;
    list = ARENA_ARRAY(reader->mem, struct energy_state, states.count);
    for (size_t i = 0; i < states.count; i++)
        list[i] = (struct energy_state){.at = states.items[i].at,
                                        .on = str_equal(states.items[i].word, pump->running)};

    return energy_hours_run(list, states.count, first, until,
                            holds_s > 0 ? (double)holds_s : holds_for_ever_s, &figures->hours, err);
}

/* By its meter; nothing where it has none that was read. */
static bool meter_work_out(struct place_reader *reader, instant first, instant until,
                           struct energy_figures *figures, struct err *err)
{
    const struct farm_place *meter = &figures->tank->pump.meter;
    struct meter_span span = {.first = first, .until = until};

    if (!meter->parameter || !meter_counts(reader, meter, "kWh"))
        return true;
    if (!meter_read(reader, meter, "kWh", &span, err))
        return false;
    if (span.known_us == 0)
        return true;
    figures->kwh_known = true;
    figures->source = ENERGY_BY_METER;
    figures->kwh = span.amount;
    figures->metered_share = (double)span.known_us / (double)(until - first);
    figures->words = arena_printf(reader->mem, "%s at %s, known for %.0f %% of the time",
                                  meter->parameter, meter->station, figures->metered_share * 100.0);

    return true;
}

static bool rated_work_out(struct arena *mem, struct energy_figures *figures, struct err *err)
{
    struct farm_number rated = figures->tank->pump.rated_power_kw;

    if (figures->kwh_known)
        return true;
    if (!rated.given || !figures->hours_told) {
        figures->words = "no meter was read, and rated power or the pump's state is not told";
        return true;
    }
    if (figures->hours.on_h + figures->hours.off_h <= 0.0) {
        figures->words = "no meter was read, and whether the pump ran is not on record";
        return true;
    }
    figures->kwh_known = true;
    figures->source = ENERGY_BY_RATED_POWER;
    figures->words = arena_printf(
        mem, "an estimate: %s kW times the hours it ran%s", decimal_text(mem, rated.number),
        figures->hours.unknown_h > 0.0
            ? arena_printf(mem, ", without %.1f hours of which nothing is known",
                           figures->hours.unknown_h)
            : "");

    return energy_by_rated_power(decimal_double(rated.number), figures->hours.on_h, &figures->kwh,
                                 err);
}

static bool animals_count(struct place_reader *reader, instant first, instant until,
                          struct energy_figures *figures, struct err *err)
{
    if (!tank_animals(reader, figures->tank, first, until, &figures->animals_known,
                      &figures->animals, err))
        return false;

    return !figures->kwh_known || !figures->animals_known ||
           energy_per_thousand(figures->kwh, figures->animals, &figures->kwh_per_thousand, err);
}

static bool rows_count(struct place_reader *reader, instant first, instant until,
                       struct energy_figures *figures, struct err *err)
{
    const struct farm_pump *pump = &figures->tank->pump;
    const struct farm_place *const places[] = {&pump->state, &pump->meter, &pump->hours};

    return place_rows_waiting(reader, places, ARRAY_LEN(places), first, until,
                              &figures->rows_waiting, err);
}

bool energy_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                       day_number month, instant now, struct energy_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct energy_month figures = {
        .items = ARENA_ARRAY(mem, struct energy_figures, farm->farm->tanks.count)};
    struct place_reader reader = {0};
    instant first;
    instant until;

    if (!month_span(farm->farm, month, now, &first, &until, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &reader, err))
        return false;
    for (size_t i = 0; i < farm->farm->tanks.count; i++) {
        const struct farm_tank *tank = &farm->farm->tanks.items[i];
        struct energy_figures *one = &figures.items[figures.count];

        if (!tank->pump.state.parameter && !tank->pump.meter.parameter &&
            !tank->pump.hours.parameter)
            continue;
        *one = (struct energy_figures){.tank = tank,
                                       .span_h = (double)(until - first) / (double)HOUR_US};
        figures.count++;
        if (!hours_work_out(&reader, first, until, one, err) ||
            !meter_work_out(&reader, first, until, one, err) || !rated_work_out(mem, one, err) ||
            !animals_count(&reader, first, until, one, err) ||
            !rows_count(&reader, first, until, one, err))
            return err_wrap(err, "%s", tank->station);
    }
    *out = figures;
    if (figures.count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND,
            "no tank of the farm file has a pump whose state or a meter is read");

    return err_hint(err, "Add `pump:` to a tank; weirbook words tanks says how.");
}

#include "app/feed_month.h"

#include <stdio.h>
#include <stdlib.h>

#include "app/tank_month.h"
#include "base/str.h"

const char *feed_place_name(enum feed_place place)
{
    static const char *const names[FEED_PLACES] = {"feed pond", "in", "out"};

    return names[place];
}

struct feeding {
    struct place_reader reader;
    struct farm_flows flows;
    instant first;
    instant until;
};

static bool has_position(const struct feeding *feeding, const char *station, const char *position)
{
    const struct farm_station *known = farm_find_station(feeding->reader.farm->farm, station);

    for (size_t i = 0; i < known->position_count; i++) {
        if (str_equal(known->positions[i].key, position))
            return true;
    }

    return false;
}

/* Where a parameter is read; `station` NULL: nowhere. */
static struct farm_place place_of(const struct feeding *feeding, const struct farm_tank *tank,
                                  enum feed_place place, const char *parameter)
{
    const struct station_flow *after = farm_flows_after(&feeding->flows, tank->station);
    struct farm_place at = {.parameter = parameter};

    if (place == FEED_POND) {
        at.station = tank->feed_pond;
    } else if (place == FEED_INLET && has_position(feeding, tank->station, "inlet")) {
        at.station = tank->station;
        at.position = "inlet";
    } else if (place == FEED_OUTLET && has_position(feeding, tank->station, "outlet")) {
        at.station = tank->station;
        at.position = "outlet";
    } else if (place == FEED_OUTLET && after) {
        at.station = after->station->key;
    }

    return at;
}

/* The same for people, and what to add where the farm file has no such place yet. */
static const char *where_words(const struct feeding *feeding, const struct farm_tank *tank,
                               enum feed_place place)
{
    static const char *const positions[FEED_PLACES] = {NULL, "inlet", "outlet"};
    struct arena *mem = feeding->reader.mem;
    struct farm_place at = place_of(feeding, tank, place, "");

    if (at.position)
        return arena_printf(mem, "at %s, position %s", at.station, at.position);
    if (at.station)
        return arena_printf(mem, "at %s", at.station);

    return arena_printf(mem, "at %s, position %s, which the farm file's station has to have",
                        tank->station, positions[place]);
}

static bool mean_read(struct feeding *feeding, const struct farm_place *place,
                      struct feed_mean *out, struct err *err)
{
    struct place_values values = {0};

    *out = (struct feed_mean){0};
    if (!place->station)
        return true;
    if (!place_values_load(&feeding->reader, place, NULL, feeding->first, feeding->until, &values,
                           err))
        return false;
    out->known = place_mean(&values, &out->value, &out->readings);

    return true;
}

/* --- what comes in and goes out by the paths -------------------------------------------------- */

/* Water of a station that comes by the paths may be this much less than what is measured there. */
static const double unexplained_share = 0.1;

static bool path_leads(const struct farm_flows *flows, const struct open_path *path,
                       const char *station)
{
    return str_equal(flows->stations[path->to].station->key, station);
}

/* "header, feed": from where water comes to a station. */
static const char *arriving_words(const struct feeding *feeding, const char *station, size_t *count)
{
    const struct farm_flows *flows = &feeding->flows;
    struct buf text = buf_new(feeding->reader.mem);

    *count = 0;
    for (size_t i = 0; i < flows->path_count; i++) {
        if (path_leads(flows, &flows->paths[i], station))
            buf_addf(&text, "%s%s", (*count)++ ? ", " : "",
                     flows->stations[flows->paths[i].from].station->key);
    }

    return text.data;
}

/* Whether water of `from` comes to `station` by the paths, however many stations between. */
static bool is_upstream(const struct feeding *feeding, const char *from, const char *station)
{
    const struct farm_flows *flows = &feeding->flows;
    bool *reached = ARENA_ARRAY(feeding->reader.mem, bool, flows->station_count);
    bool more = true;

    for (size_t i = 0; i < flows->station_count; i++)
        reached[i] = str_equal(flows->stations[i].station->key, from);
    while (more) {
        more = false;
        for (size_t i = 0; i < flows->path_count; i++) {
            const struct open_path *path = &flows->paths[i];

            if (!reached[path->from] || reached[path->to])
                continue;
            reached[path->to] = true;
            more = true;
        }
    }
    for (size_t i = 0; i < flows->station_count; i++) {
        if (reached[i] && str_equal(flows->stations[i].station->key, station))
            return true;
    }

    return false;
}

/* The water of every path to the tank, each with what is read where it comes from. */
static bool inlet_mix(struct feeding *feeding, const struct feed_tank *tank,
                      struct feed_figures *line, struct err *err)
{
    const struct farm_flows *flows = &feeding->flows;
    struct arena *mem = feeding->reader.mem;
    struct feed_mean *inlet = &line->means[FEED_INLET];
    double water = 0.0;
    double amount = 0.0;
    size_t readings = 0;

    for (size_t i = 0; i < flows->path_count; i++) {
        const struct open_path *path = &flows->paths[i];
        const char *from = flows->stations[path->from].station->key;
        struct farm_place at = {.station = from, .parameter = line->parameter};
        struct feed_mean mean = {0};

        if (!path_leads(flows, path, tank->tank->station))
            continue;
        if (!mean_read(feeding, &at, &mean, err))
            return false;
        if (!line->inlet_missing && !path->known)
            line->inlet_missing =
                arena_printf(mem, "how much of what comes in is of %s is not known", from);
        else if (!line->inlet_missing && !mean.known)
            line->inlet_missing =
                arena_printf(mem, "nothing is read at %s, where some of it comes from", from);
        water += path->m3_per_h;
        amount += path->m3_per_h * mean.value;
        readings += mean.readings;
    }
    if (!line->inlet_missing && tank->flow->known &&
        water < tank->flow->m3_per_h * (1.0 - unexplained_share))
        line->inlet_missing = "more water goes through it than comes in by the flow paths";
    if (!line->inlet_missing && water > 0.0)
        *inlet = (struct feed_mean){true, amount / water, readings};

    return true;
}

/* Nothing is read at the inlet: what the paths tell of it. */
static bool inlet_from_paths(struct feeding *feeding, const struct feed_tank *tank,
                             struct feed_figures *line, struct err *err)
{
    const char *station = tank->tank->station;
    const char *pond = tank->tank->feed_pond;
    size_t count = 0;
    const char *from = arriving_words(feeding, station, &count);

    if (count == 0 || (count == 1 && str_equal(from, pond))) {
        line->inlet_is_pond = line->means[FEED_POND].known;
        line->means[FEED_INLET] = line->means[FEED_POND];
        return true;
    }
    if (!is_upstream(feeding, pond, station)) {
        line->inlet_missing =
            arena_printf(feeding->reader.mem, "no flow path brings water of %s to it", pond);
        return true;
    }
    line->inlet_mix_of = from;

    return inlet_mix(feeding, tank, line, err);
}

/* Out is read where water of others comes together: no figure of this tank alone. */
static const char *out_shared_words(const struct feeding *feeding, const struct farm_tank *tank)
{
    struct farm_place at = place_of(feeding, tank, FEED_OUTLET, "");
    size_t count = 0;
    const char *from = at.station ? arriving_words(feeding, at.station, &count) : "";

    if (at.position || count < 2)
        return NULL;

    return arena_printf(feeding->reader.mem, "%s holds water of %s together", at.station, from);
}

/* --- what is eaten --------------------------------------------------------------------------- */

/* What a parameter's unit is in a cubic metre: cells, mg, or itself. */
static bool is_in(const struct units *units, const struct parameter *parameter, const char *unit)
{
    return unit_convertible(unit_named(units, parameter->unit), unit_named(units, unit));
}

static bool per_m3_tell(struct feeding *feeding, const struct parameter *parameter,
                        struct feed_figures *line, struct err *err)
{
    const struct units *units = feeding->reader.farm->units;
    struct unit_conversion conversion = {0};

    line->is_cells = is_in(units, parameter, "cells/mL");
    if (!line->is_cells && !is_in(units, parameter, "mg/m3"))
        return true;
    if (!unit_conversion(units, feeding->reader.mem, unit_named(units, parameter->unit),
                         unit_named(units, line->is_cells ? "cells/L" : "mg/m3"), &conversion, err))
        return false;
    line->per_m3 = conversion.scale_double * (line->is_cells ? 1000.0 : 1.0);
    line->taken_unit = line->is_cells ? "cells an hour" : "mg an hour";

    return true;
}

static void uptake_work_out(const struct feed_tank *tank, struct feed_figures *line)
{
    const struct feed_mean *means = line->means;
    struct err err = ERR_INIT;
    struct feed_line flow = {.flow_m3_per_h = tank->flow->m3_per_h,
                             .pond_known = means[FEED_POND].known && !line->inlet_is_pond &&
                                           !line->inlet_mix_of,
                             .pond = means[FEED_POND].value,
                             .inlet = means[FEED_INLET].value,
                             .outlet = means[FEED_OUTLET].value};

    line->uptake_known = tank->flow->known && means[FEED_INLET].known && means[FEED_OUTLET].known &&
                         !tank->out_shared && feed_uptake(&flow, &line->uptake, &err);
    if (!line->uptake_known)
        return;
    line->taken_per_h = line->uptake.taken * line->per_m3;
    line->clearance_known = flow.inlet >= flow.outlet && flow.outlet > 0.0 &&
                            feed_clearance_mixed(flow.flow_m3_per_h, flow.inlet, flow.outlet,
                                                 &line->clearance_m3_per_h, &err);
}

static bool line_read(struct feeding *feeding, struct feed_tank *tank,
                      const struct parameter *parameter, struct err *err)
{
    struct feed_figures line = {.parameter = parameter->key, .unit = parameter->unit};
    bool any = false;

    if (!per_m3_tell(feeding, parameter, &line, err))
        return false;
    for (int place = 0; place < FEED_PLACES; place++) {
        struct farm_place at =
            place_of(feeding, tank->tank, (enum feed_place)place, parameter->key);

        if (!mean_read(feeding, &at, &line.means[place], err))
            return false;
        any = any || line.means[place].known;
    }
    if (any && !line.means[FEED_INLET].known && !inlet_from_paths(feeding, tank, &line, err))
        return false;
    uptake_work_out(tank, &line);
    if (any)
        tank->lines[tank->line_count++] = line;

    return true;
}

static bool tells_of_feed(const struct units *units, const struct parameter *parameter)
{
    static const char *const keys[] = {"chlorophyll", "turbidity-fnu", "turbidity-ntu"};

    if (parameter->kind != PARAMETER_NUMBER)
        return false;
    for (size_t i = 0; i < ARRAY_LEN(keys); i++) {
        if (str_equal(parameter->key, keys[i]))
            return true;
    }

    return is_in(units, parameter, "cells/mL");
}

/* --- sizes ----------------------------------------------------------------------------------- */

/* "particles-below-5um" is 5. */
static bool size_of(const struct parameter *parameter, double *um)
{
    int end = 0;

    return parameter->kind == PARAMETER_NUMBER && str_equal(parameter->unit, "%") &&
           sscanf(parameter->key, "particles-below-%lfum%n", um, &end) == 1 && end > 0 &&
           parameter->key[end] == '\0';
}

static int size_order(const void *a, const void *b)
{
    const struct feed_size *left = a;
    const struct feed_size *right = b;

    return (left->um > right->um) - (left->um < right->um);
}

static bool below_read(struct feeding *feeding, struct feed_tank *tank, enum feed_place place,
                       struct err *err)
{
    const struct parameter_list *known = &feeding->reader.farm->farm->known_parameters;
    struct feed_size *rows = ARENA_ARRAY(feeding->reader.mem, struct feed_size, known->count);
    struct err outside = ERR_INIT;
    size_t count = 0;

    for (size_t i = 0; i < known->count; i++) {
        struct farm_place at = place_of(feeding, tank->tank, place, known->items[i].key);
        struct feed_mean mean = {0};
        double um = 0.0;

        if (!size_of(&known->items[i], &um))
            continue;
        if (!mean_read(feeding, &at, &mean, err))
            return false;
        if (!mean.known)
            continue;
        rows[count++] = (struct feed_size){.um = um, .share_below = mean.value / 100.0};
        tank->below[place].readings = mean.readings;
    }
    if (count > 1)
        qsort(rows, count, sizeof(*rows), size_order);
    for (size_t i = 0; i < count; i++) {
        if (rows[i].um != tank->below_um)
            continue;
        /* The farm's own size was counted itself: no line is needed. */
        tank->below[place].known = true;
        tank->below[place].value = rows[i].share_below;
        return true;
    }
    tank->below[place].known =
        feed_share_below(rows, count, tank->below_um, &tank->below[place].value, &outside);

    return true;
}

/* --- a tank ---------------------------------------------------------------------------------- */

static bool tank_read(struct feeding *feeding, const struct farm_tank *told, struct feed_tank *out,
                      struct err *err)
{
    const struct parameter_list *known = &feeding->reader.farm->farm->known_parameters;
    struct feed_tank tank = {.tank = told,
                             .flow = farm_flows_find(&feeding->flows, told->station),
                             .out_shared = out_shared_words(feeding, told),
                             .size_told = told->feed_below_um.given,
                             .below_um = decimal_double(told->feed_below_um.number)};

    for (int place = 0; place < FEED_PLACES; place++)
        tank.where[place] = where_words(feeding, told, (enum feed_place)place);
    tank.lines = ARENA_ARRAY(feeding->reader.mem, struct feed_figures, known->count);
    if (!tank_animals(&feeding->reader, told, feeding->first, feeding->until, &tank.animals_known,
                      &tank.animals, err))
        return false;
    for (size_t i = 0; i < known->count; i++) {
        if (tells_of_feed(feeding->reader.farm->units, &known->items[i]) &&
            !line_read(feeding, &tank, &known->items[i], err))
            return false;
    }
    for (int place = 0; tank.size_told && place < FEED_PLACES; place++) {
        if (!below_read(feeding, &tank, (enum feed_place)place, err))
            return false;
    }
    *out = tank;

    return true;
}

bool feed_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                     day_number month, instant now, struct feed_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct feeding feeding = {0};
    struct feed_month figures = {.items =
                                     ARENA_ARRAY(mem, struct feed_tank, farm->farm->tanks.count)};

    if (!month_span(farm->farm, month, now, &feeding.first, &feeding.until, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &feeding.reader, err) ||
        !farm_flows_of(&feeding.reader, feeding.first, feeding.until, &feeding.flows, err))
        return false;
    for (size_t i = 0; i < farm->farm->tanks.count; i++) {
        const struct farm_tank *tank = &farm->farm->tanks.items[i];

        if (tank->feed_pond && !tank_read(&feeding, tank, &figures.items[figures.count++], err))
            return err_wrap(err, "%s", tank->station);
    }
    *out = figures;
    if (figures.count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND, "no tank of the farm file names a feed pond");

    return err_hint(err, "Add `feed pond:` to a tank; weirbook words tanks says how.");
}

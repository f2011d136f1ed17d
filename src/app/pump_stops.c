#include "app/pump_stops.h"

#include "app/tank_month.h"
#include "base/str.h"

/* --- what the tank was like ------------------------------------------------------------------ */

/* Everything of a tank's record in a span. */
struct tank_record {
    const struct farm_tank *tank;
    const struct farm *farm;
    struct place_states states;
    struct place_values oxygen;
    struct place_values temperature;
    struct place_values stock;
    struct place_values feed;
};

/* Counts of animals are months apart. */
enum { STOCK_REACH_DAYS = 366 };

static bool record_load(struct place_reader *reader, const struct farm_tank *tank, instant first,
                        instant until, struct tank_record *out, struct err *err)
{
    const struct farm_still_water *still = &tank->still_water;
    struct tank_record record = {.tank = tank, .farm = reader->farm->farm};

    if (!place_states_load(reader, &tank->pump.state, first, until, &record.states, err))
        return false;
    /* A stop that holds over into the span. */
    if (record.states.count > 0 && record.states.items[0].at < first)
        first = record.states.items[0].at;
    if (!place_values_load(reader, &still->oxygen, "mg/L", first, until, &record.oxygen, err) ||
        !place_values_load(reader, &still->temperature, "degC",
                           first - PUMP_TEMPERATURE_REACH_S * SECOND_US, until, &record.temperature,
                           err) ||
        !place_values_load(reader, &still->stock, NULL, first - STOCK_REACH_DAYS * DAY_US, until,
                           &record.stock, err) ||
        !place_values_load(reader, &still->feed, NULL, first - PUMP_FEED_REACH_S * SECOND_US, until,
                           &record.feed, err))
        return err_wrap(err, "the record of %s", tank->station);
    *out = record;

    return true;
}

/* The highest of from..until, else the last before it that is no older than the reach. */
static bool highest(const struct place_values *values, instant from, instant until, int reach_s,
                    double *out)
{
    bool inside = false;
    bool found = false;

    for (size_t i = 0; i < values->count; i++) {
        const struct place_value *value = &values->items[i];

        if (value->in_doubt || value->at > until || value->at < from - (int64_t)reach_s * SECOND_US)
            continue;
        if (value->at < from || !inside) {
            *out = value->value;
            inside = value->at >= from;
        } else if (value->value > *out) {
            *out = value->value;
        }
        found = true;
    }

    return found;
}

static struct oxygen_fall_conditions conditions_of(const struct tank_record *record, instant from,
                                                   instant until)
{
    struct oxygen_fall_conditions conditions = {0};
    const struct farm_animals *animals = &record->tank->animals;

    conditions.temperature_known = highest(&record->temperature, from, until,
                                           PUMP_TEMPERATURE_REACH_S, &conditions.temperature_c);
    conditions.feed_known =
        highest(&record->feed, from, until, PUMP_FEED_REACH_S, &conditions.feed);
    conditions.stock_known =
        highest(&record->stock, until, until, STOCK_REACH_DAYS * 86400, &conditions.stock);
    if (!conditions.stock_known && animals->number.coefficient > 0) {
        conditions.stock_known = true;
        conditions.stock = decimal_double(animals->number);
    }

    return conditions;
}

/* --- a stop ---------------------------------------------------------------------------------- */

static bool runs(const struct tank_record *record, size_t i)
{
    return str_equal(record->states.items[i].word, record->tank->pump.running);
}

/*
 * From the pump off until it is on again. What is read as it starts may be of moving water: it is
 * of the stop only where it is no higher than the reading before it.
 */
static bool is_of_stop(const struct pump_stop *stop, const struct place_value *value,
                       const struct place_value *before)
{
    if (value->at < stop->from || value->at > stop->until)
        return false;

    return !stop->over || value->at < stop->until ||
           (before && before->at >= stop->from && value->value <= before->value);
}

static void readings_take(struct arena *mem, const struct tank_record *record,
                          struct pump_stop *stop)
{
    const struct place_values *oxygen = &record->oxygen;
    struct oxygen_fall_reading *readings =
        ARENA_ARRAY(mem, struct oxygen_fall_reading, oxygen->count);
    size_t count = 0;

    for (size_t i = 0; i < oxygen->count; i++) {
        const struct place_value *value = &oxygen->items[i];

        if (!is_of_stop(stop, value, i > 0 ? value - 1 : NULL))
            continue;
        if (!stop->lowest_known || value->value < stop->lowest_mg_per_l) {
            stop->lowest_known = true;
            stop->lowest_mg_per_l = value->value;
            stop->lowest_at = value->at;
            stop->lowest_in_doubt = value->in_doubt || !record->tank->still_water.probe_reads_still;
        }
        if (!value->in_doubt && value->qualifier == '=')
            readings[count++] = (struct oxygen_fall_reading){
                .after_s = (double)(value->at - stop->from) / (double)SECOND_US,
                .mg_per_l = value->value};
    }
    stop->record.readings = readings;
    stop->record.count = count;
}

static struct pump_stop stop_of(struct arena *mem, const struct tank_record *record,
                                struct pump_stop stop, bool in_doubt, instant now)
{
    struct err err = ERR_INIT;

    readings_take(mem, record, &stop);
    stop.record.conditions = conditions_of(record, stop.from, stop.until);
    stop.record.age_s = (double)(now - stop.until) / (double)SECOND_US;
    stop.record.probe_reads_still_water = record->tank->still_water.probe_reads_still;
    if (in_doubt) {
        stop.record.count = 0;
        stop.why_not = "the record of its pump is in doubt";
    } else if (!stop.record.probe_reads_still_water)
        stop.why_not = "the probe is not on record as reading in still water";
    else if (stop.record.count < PUMP_READINGS_LEAST)
        stop.why_not = arena_printf(mem,
                                    "%zu readings of oxygen while it was off, of %d that a "
                                    "rate needs",
                                    stop.record.count, PUMP_READINGS_LEAST);
    else if (oxygen_fall_fit(mem, stop.record.readings, stop.record.count, &stop.fall, &err))
        stop.fitted = true;
    else
        stop.why_not = arena_strdup(mem, err.text);

    return stop;
}

/* How far a record that nothing follows is believed. */
static instant holds_until(const struct tank_record *record, size_t i, instant now)
{
    instant end = record->states.items[i].at + (int64_t)record->farm->state_holds_s * SECOND_US;

    return record->farm->state_holds_s > 0 && end < now ? end : now;
}

static void stops_take(struct arena *mem, const struct tank_record *record, instant first,
                       instant until, instant now, struct pump_stops *out)
{
    const struct place_states *states = &record->states;

    for (size_t i = 0; i < states->count; i++) {
        struct pump_stop stop = {.from = states->items[i].at};
        bool in_doubt = states->items[i].in_doubt;

        if (runs(record, i))
            continue;
        while (i + 1 < states->count && !runs(record, i + 1) &&
               states->items[i + 1].at <= holds_until(record, i, now))
            in_doubt = states->items[++i].in_doubt || in_doubt;

        stop.until = holds_until(record, i, now);
        stop.over =
            i + 1 < states->count && runs(record, i + 1) && states->items[i + 1].at <= stop.until;
        if (stop.over) {
            stop.until = states->items[i + 1].at;
            in_doubt = states->items[i + 1].in_doubt || in_doubt;
        }
        if (stop.from >= first && stop.from < until && stop.until > stop.from)
            LIST_ADD(mem, out, stop_of(mem, record, stop, in_doubt, now));
    }
}

bool pump_stops_read(struct place_reader *reader, const struct farm_tank *tank, instant first,
                     instant until, instant now, struct pump_stops *out, struct err *err)
{
    struct tank_record record = {0};
    struct pump_stops stops = {0};
    /* A stop may end, and be read, after the span in which it began. */
    instant reach = until + 31 * DAY_US < now ? until + 31 * DAY_US : now;

    *out = stops;
    if (!tank->pump.state.parameter || !tank->still_water.oxygen.parameter)
        return true;
    if (!record_load(reader, tank, first, reach + 1, &record, err))
        return false;
    stops.floor_mg_per_l = place_amount(reader, &tank->still_water.floor, "mg/L");
    stops.margin_mg_per_l = place_amount(reader, &tank->still_water.margin, "mg/L");
    stops_take(reader->mem, &record, first, until, now, &stops);
    *out = stops;

    return true;
}

/* --- the time left --------------------------------------------------------------------------- */

/*
 * The newest reading; one in doubt that came later and is lower stands in its place. Alone it says
 * nothing: it could be too high.
 */
static bool newest_find(const struct place_values *oxygen, instant now, struct pump_answer *out)
{
    for (size_t i = 0; i < oxygen->count; i++) {
        const struct place_value *value = &oxygen->items[i];

        if (value->at > now ||
            (value->in_doubt && (!out->reading_known || value->value >= out->reading_mg_per_l)))
            continue;
        out->reading_known = true;
        out->reading_at = value->at;
        out->reading_mg_per_l = value->value;
    }

    return out->reading_known;
}

static double number_or(struct farm_number number, double otherwise)
{
    return number.given ? decimal_double(number.number) : otherwise;
}

static struct oxygen_fall_question question_of(const struct farm_still_water *still,
                                               double floor_mg_per_l, const struct pump_answer *now,
                                               double off_for_s)
{
    return (struct oxygen_fall_question){
        .now_mg_per_l = now->reading_mg_per_l,
        .off_for_s = off_for_s,
        .floor_mg_per_l = floor_mg_per_l,
        .conditions = now->conditions,
        .bounds = {.temperature_c = number_or(still->beyond_temperature_degc, 0.0),
                   .stock_share = number_or(still->beyond_stock_percent, 0.0) / 100.0,
                   .feed_share = number_or(still->beyond_feed_percent, 0.0) / 100.0,
                   .oldest_s = (double)still->old_after_days * 86400.0,
                   .readings_min = PUMP_READINGS_LEAST}};
}

static bool not_known(struct pump_answer *out, const char *why)
{
    out->answer = (struct oxygen_fall_answer){.standing = OXYGEN_FALL_NOT_KNOWN, .why = why};

    return true;
}

/*
 * Seconds that the pump had been off at an instant; false where its record does not say. Records
 * that say it was off are taken together, however far apart: it may have been off all the while.
 */
static bool off_for(const struct tank_record *record, instant at, instant now, double *seconds)
{
    const struct place_states *states = &record->states;
    size_t count = 0;
    size_t first;

    while (count < states->count && states->items[count].at <= now)
        count++;
    if (count == 0 || states->items[count - 1].in_doubt ||
        holds_until(record, count - 1, now) < now)
        return false;
    *seconds = 0.0;
    if (runs(record, count - 1))
        return true;
    first = count - 1;
    while (first > 0 && !runs(record, first - 1))
        first--;
    if (at > states->items[first].at)
        *seconds = (double)(at - states->items[first].at) / (double)SECOND_US;

    return true;
}

static bool time_left(struct arena *mem, const struct tank_record *record,
                      const struct pump_stops *stops, instant now, struct pump_answer *out,
                      struct err *err)
{
    struct oxygen_fall_stop *falls = ARENA_ARRAY(mem, struct oxygen_fall_stop, stops->count);
    double off_for_s = 0.0;
    size_t count = 0;

    if (!newest_find(&record->oxygen, now, out))
        return not_known(out, record->oxygen.count > 0
                                  ? "every reading of oxygen on record is in doubt"
                                  : "no reading of oxygen is on record");
    if (now - out->reading_at > PUMP_NEWEST_MOST_S * SECOND_US)
        return not_known(out, "the newest reading of oxygen is more than an hour old");
    if (!off_for(record, out->reading_at, now, &off_for_s))
        return not_known(out, "whether the pump runs is not on record, or in doubt");
    out->off_now = record->states.count > 0 && !runs(record, record->states.count - 1);
    out->conditions = conditions_of(record, out->reading_at, out->reading_at);
    for (size_t i = 0; i < stops->count; i++)
        falls[count++] = stops->items[i].record;

    struct oxygen_fall_question question =
        question_of(&record->tank->still_water, stops->floor_mg_per_l, out, off_for_s);

    if (!oxygen_fall_time_left(mem, falls, count, &question, &out->answer, err))
        return false;
    if (out->answer.standing != OXYGEN_FALL_NOT_KNOWN && !out->answer.at_floor)
        out->measured = &stops->items[out->answer.stop];

    return true;
}

static bool told(const struct farm_tank *tank, struct err *err)
{
    if (tank->pump.state.parameter && tank->still_water.oxygen.parameter)
        return true;
    err_set(err, ERR_INVALID, "the farm file does not say where oxygen and pump of %s are read",
            tank->station);

    return err_hint(err, "Add `pump:` and `while the pump is off:` to the tank; weirbook words "
                         "tanks says how.");
}

static bool rows_count(struct place_reader *reader, const struct farm_tank *tank, instant first,
                       instant until, int *rows, struct err *err)
{
    const struct farm_place *const places[] = {&tank->pump.state, &tank->still_water.oxygen};

    return place_rows_waiting(reader, places, ARRAY_LEN(places), first, until, rows, err);
}

bool pump_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const char *station, day_number month, instant now, struct pump_month *out,
                     struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct place_reader reader = {0};
    struct pump_month figures = {0};
    struct pump_stops recent = {0};
    struct tank_record record = {0};
    instant first;
    instant until;

    if (!tank_require(mem, farm->farm, station, &figures.tank, err) || !told(figures.tank, err) ||
        !month_span(farm->farm, month, now, &first, &until, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &reader, err) ||
        !pump_stops_read(&reader, figures.tank, first, until, now, &figures.stops, err))
        return false;

    instant oldest = now - (int64_t)figures.tank->still_water.old_after_days * DAY_US;

    if (!record_load(&reader, figures.tank, oldest, now + 1, &record, err))
        return false;
    recent.floor_mg_per_l = figures.stops.floor_mg_per_l;
    stops_take(mem, &record, oldest, now, now, &recent);
    if (!time_left(mem, &record, &recent, now, &figures.now, err) ||
        !rows_count(&reader, figures.tank, first < oldest ? first : oldest,
                    until > now ? until : now + 1, &figures.rows_waiting, err))
        return false;
    *out = figures;

    return true;
}

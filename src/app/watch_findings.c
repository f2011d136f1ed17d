#include "app/watch_findings.h"

#include "app/pump_stops.h"
#include "base/str.h"
#include "judge/converter.h"
#include "judge/evidence.h"
#include "stat/change.h"

struct watching {
    struct place_reader reader;
    const struct farm *farm;
    day_number from;
    day_number to;
    instant now;
    struct finding_row *items;
    size_t count;
    size_t capacity;
};

/* --- pump stops ------------------------------------------------------------------------------ */

static char *stop_words(struct arena *mem, const struct watching *watching,
                        const struct farm_tank *tank, const struct pump_stops *stops,
                        const struct pump_stop *stop)
{
    double left = stop->lowest_mg_per_l - stops->floor_mg_per_l;

    return arena_printf(
        mem,
        "%s: the pump was off from %s to %s, and oxygen fell to %.2f mg/L%s. That is %.2f mg/L "
        "%s the farm's own floor of %.4g mg/L, and its margin is %.4g mg/L. %s",
        farm_find_station(watching->farm, tank->station)->name,
        zone_text(mem, watching->farm->zone, stop->from),
        stop->over ? zone_text(mem, watching->farm->zone, stop->until) : "now, or its record's end",
        stop->lowest_mg_per_l, stop->lowest_in_doubt ? " (a reading in doubt)" : "",
        left < 0 ? -left : left, left < 0 ? "below" : "above", stops->floor_mg_per_l,
        stops->margin_mg_per_l, oxygen_fall_caution);
}

/* The stop of each day that came nearest, where it came nearer than the margin. */
static void stops_weigh(struct watching *watching, const struct farm_tank *tank,
                        const struct pump_stops *stops)
{
    double low = stops->floor_mg_per_l + stops->margin_mg_per_l;

    for (size_t i = 0; i < stops->count;) {
        day_number day = zone_day(watching->farm->zone, stops->items[i].from);
        const struct pump_stop *nearest = NULL;

        for (; i < stops->count && zone_day(watching->farm->zone, stops->items[i].from) == day;
             i++) {
            const struct pump_stop *stop = &stops->items[i];

            if (stop->lowest_known &&
                (!nearest || stop->lowest_mg_per_l < nearest->lowest_mg_per_l))
                nearest = stop;
        }
        if (nearest && nearest->lowest_mg_per_l < low)
            LIST_ADD(watching->reader.mem, watching,
                     ((struct finding_row){.kind = "pump stop",
                                           .subject = tank->station,
                                           .station = tank->station,
                                           .from = day,
                                           .aware_at = watching->now,
                                           .words = stop_words(watching->reader.mem, watching, tank,
                                                               stops, nearest)}));
    }
}

static bool tanks_watch(struct watching *watching, instant first, instant until, struct err *err)
{
    for (size_t i = 0; i < watching->farm->tanks.count; i++) {
        const struct farm_tank *tank = &watching->farm->tanks.items[i];
        struct pump_stops stops = {0};

        if (!pump_stops_read(&watching->reader, tank, first, until, watching->now, &stops, err))
            return false;
        stops_weigh(watching, tank, &stops);
    }

    return true;
}

/* --- salinity -------------------------------------------------------------------------------- */

/* The largest fall that ends in a day, beyond the farm's own, of one series. */
struct fall {
    bool found;
    struct change change;
    instant from;
    instant until;
};

/* Readings that end in the day, with those before it that a fall in it may begin at. */
static struct fall day_fall(struct watching *watching, const struct farm_station *station,
                            const struct timed_value *readings, size_t count, day_number day)
{
    struct arena *mem = watching->reader.mem;
    int64_t span_us = (int64_t)station->salinity_fall_within_s * SECOND_US;
    instant start = zone_day_start(watching->farm->zone, day);
    instant end = zone_day_start(watching->farm->zone, day + 1);
    struct fall fall = {0};
    struct err err = ERR_INIT;
    size_t first = 0;
    size_t after;

    while (first < count && readings[first].at_us < start - span_us)
        first++;
    after = first;
    while (after < count && readings[after].at_us < end)
        after++;
    if (after - first < 2 ||
        !change_within_span_since(mem, readings + first, after - first, span_us, CHANGE_WAY_FALL,
                                  start, &fall.change, &err))
        return fall;
    fall.from = readings[first + fall.change.first].at_us;
    fall.until = readings[first + fall.change.second].at_us;
    fall.found =
        fall.until >= start &&
        exact_compare(fall.change.size, exact_from_decimal(mem, station->salinity_fall)) > 0;

    return fall;
}

static char *fall_words(struct watching *watching, const struct farm_station *station,
                        const struct fall *fall)
{
    struct arena *mem = watching->reader.mem;

    return arena_printf(mem,
                        "%s: salinity fell by %s PSU from %s to %s, more than the farm's own %s "
                        "PSU within %g hours. Fresh water may have come; look before the rain "
                        "gauge says so.",
                        station->name, exact_text(mem, fall->change.size, 4),
                        zone_text(mem, watching->farm->zone, fall->from),
                        zone_text(mem, watching->farm->zone, fall->until),
                        decimal_text(mem, station->salinity_fall),
                        (double)station->salinity_fall_within_s / 3600.0);
}

/* One finding for each unbroken run of days; one that began before the span is another month's. */
static void series_weigh(struct watching *watching, const struct farm_station *station,
                         const struct timed_value *readings, size_t count)
{
    struct fall before = day_fall(watching, station, readings, count, watching->from - 1);
    bool running = before.found;

    for (day_number day = watching->from; day <= watching->to; day++) {
        struct fall fall = day_fall(watching, station, readings, count, day);

        if (fall.found && !running)
            LIST_ADD(watching->reader.mem, watching,
                     ((struct finding_row){.kind = "salinity fall",
                                           .subject = station->key,
                                           .station = station->key,
                                           .from = day,
                                           .aware_at = watching->now,
                                           .words = fall_words(watching, station, &fall)}));
        running = fall.found;
    }
}

/* Numbers in PSU, what is in doubt among them: it can stop. */
static struct timed_value *series_values(struct watching *watching,
                                         const struct evidence_series *series, size_t *count)
{
    struct arena *mem = watching->reader.mem;
    const struct parameter *parameter =
        parameter_find(&watching->farm->known_parameters, series->parameter);
    struct converter converter = converter_to(watching->reader.farm->units, parameter, "PSU");
    struct timed_value *values = ARENA_ARRAY(mem, struct timed_value, series->count);

    *count = 0;
    for (size_t i = 0; i < series->count; i++) {
        const struct evidence_reading *reading = &series->readings[i];
        struct timed_value *value = &values[*count];

        if (reading->left_out || !reading->counts || reading->qualifier != QUALIFIER_NONE ||
            !converter_apply(mem, &converter, reading->unit, reading->reported, &value->value,
                             NULL))
            continue;
        value->at_us = reading->at;
        (*count)++;
    }

    return values;
}

static bool salinity_watch(struct watching *watching, instant first, instant until, struct err *err)
{
    for (size_t i = 0; i < watching->farm->stations.count; i++) {
        const struct farm_station *station = &watching->farm->stations.items[i];
        struct farm_place place = {.station = station->key, .parameter = "salinity"};
        struct evidence_series *series = NULL;
        size_t count = 0;

        if (station->salinity_fall.coefficient <= 0)
            continue;

        /* A fall of the day before the first may begin as much earlier as the farm's own time. */
        instant lead = first - DAY_US - (int64_t)station->salinity_fall_within_s * SECOND_US;

        if (!place_series_load(&watching->reader, &place, lead, until, &series, &count, err))
            return false;
        for (size_t s = 0; s < count; s++) {
            size_t values = 0;
            struct timed_value *readings = series_values(watching, &series[s], &values);

            series_weigh(watching, station, readings, values);
        }
    }

    return true;
}

bool watch_findings_add(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        day_number from, day_number to, instant now, struct finding_rows *rows,
                        struct err *err)
{
    struct watching watching = {.farm = farm->farm, .from = from, .to = to, .now = now};
    instant first = zone_day_start(farm->farm->zone, from);
    instant until = zone_day_start(farm->farm->zone, to + 1);

    for (size_t i = 0; i < rows->count; i++)
        LIST_ADD(mem, &watching, rows->items[i]);
    if (!place_reader_open(tx, mem, farm, &watching.reader, err) ||
        !tanks_watch(&watching, first, until, err) || !salinity_watch(&watching, first, until, err))
        return false;
    *rows = (struct finding_rows){.items = watching.items, .count = watching.count};

    return true;
}

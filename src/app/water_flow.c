#include "app/water_flow.h"

#include "app/outlet_shut.h"
#include "base/str.h"
#include "measure/counter.h"

/* Half a percent of a month is the three hours and a half that a round sheet lacks at its ends. */
static const double whole_share = 0.995;

static bool turns_into(const struct place_reader *reader, const struct parameter *parameter,
                       const char *unit)
{
    const struct unit *from =
        parameter->unit ? unit_named(reader->farm->units, parameter->unit) : NULL;

    return from && unit_convertible(from, unit_named(reader->farm->units, unit));
}

static bool is_meter(const struct place_reader *reader, const struct farm_place *place)
{
    const struct parameter *parameter =
        parameter_find(&reader->farm->farm->known_parameters, place->parameter);

    return parameter && parameter->kind == PARAMETER_COUNTER && turns_into(reader, parameter, "m3");
}

static bool is_flow(const struct place_reader *reader, const struct farm_place *place)
{
    const struct parameter *parameter =
        parameter_find(&reader->farm->farm->known_parameters, place->parameter);

    return parameter && parameter->kind == PARAMETER_NUMBER &&
           turns_into(reader, parameter, "m3/h");
}

/* The licence's meter of a point. */
static bool point_meter(const struct place_reader *reader, const char *station,
                        struct farm_place *out)
{
    const struct farm *farm = reader->farm->farm;

    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            if (point->meter_parameter && str_equal(point->station, station)) {
                *out = (struct farm_place){.station = point->meter_station,
                                           .parameter = point->meter_parameter};
                return true;
            }
        }
    }

    return false;
}

/* The first series of the station that tells of water: a meter before a flow. */
static bool series_of_water(const struct place_reader *reader, const char *station,
                            struct farm_place *out)
{
    bool found = false;

    for (size_t i = 0; i < reader->series.count; i++) {
        const struct series_row *row = &reader->series.items[i];
        struct farm_place place = {.station = row->station, .parameter = row->parameter};

        if (!str_equal(row->station, station))
            continue;
        if (is_meter(reader, &place)) {
            *out = place;
            return true;
        }
        if (!found && is_flow(reader, &place)) {
            *out = place;
            found = true;
        }
    }

    return found;
}

/* A flow that the farm works out there, as over a weir. */
static bool derived_flow(const struct place_reader *reader, const char *station,
                         struct farm_place *out)
{
    const struct farm *farm = reader->farm->farm;

    for (size_t i = 0; i < farm->derived.count; i++) {
        const struct farm_place *made = &farm->derived.items[i].made;

        if (str_equal(made->station, station) && is_flow(reader, made)) {
            *out = (struct farm_place){.station = made->station, .parameter = made->parameter};
            return true;
        }
    }

    return false;
}

static bool water_place(const struct place_reader *reader, const char *station,
                        struct farm_place *out)
{
    const struct farm_tank *tank = farm_find_tank(reader->farm->farm, station);

    if (tank && tank->flow.parameter) {
        *out = tank->flow;
        return true;
    }

    return point_meter(reader, station, out) || series_of_water(reader, station, out) ||
           derived_flow(reader, station, out);
}

/* --- a flow ---------------------------------------------------------------------------------- */

static int64_t overlap_us(instant from, instant to, instant first, instant until)
{
    instant begin = from > first ? from : first;
    instant end = to < until ? to : until;

    return end > begin ? end - begin : 0;
}

/* m3 that a reading stands for inside the span. One from before the outlet was shut ends there. */
static double stands_m3(const struct place_value *value, instant next,
                        const struct shut_times *shut, instant first, instant until)
{
    instant from = value->at > first ? value->at : first;
    instant to = next < until ? next : until;
    int64_t flowing = overlap_us(value->at, next, first, until);

    if (flowing > 0 && !outlet_shut_at(shut, value->at))
        flowing -= outlet_shut_us(shut, from, to);

    return value->value * (double)flowing / (double)HOUR_US;
}

/* Where no reading stands, before the first and after the last, a shut outlet is known as well. */
static int64_t shut_beside_us(const struct place_values *values, const struct shut_times *shut,
                              instant first, instant until)
{
    if (values->count == 0)
        return outlet_shut_us(shut, first, until);

    return outlet_shut_us(shut, first, values->items[0].at) +
           outlet_shut_us(shut, values->items[values->count - 1].at, until);
}

/* m3 and time of those readings that stand inside the span. */
static void flow_add(const struct place_values *values, const struct shut_times *shut,
                     instant first, instant until, struct water_flow *out, int64_t *known_us)
{
    const struct place_value *last = NULL;

    for (size_t i = 0; i < values->count; i++) {
        const struct place_value *value = &values->items[i];
        instant next;
        int64_t stands;

        if (value->in_doubt || value->qualifier == QUALIFIER_GREATER)
            continue;
        last = value;
        next = value->until > value->at ? value->until
               : i + 1 < values->count  ? values->items[i + 1].at
                                        : value->at;
        stands = overlap_us(value->at, next, first, until);
        out->m3 += stands_m3(value, next, shut, first, until);
        *known_us += stands;
        stands -= outlet_shut_us(shut, value->at, next);
        if (stands > 0 && value->until == value->at &&
            (double)stands / (double)HOUR_US > out->longest_held_h)
            out->longest_held_h = (double)stands / (double)HOUR_US;
    }
    *known_us += shut_beside_us(values, shut, first, until);
    out->known = (last && *known_us > 0) || *known_us == until - first;
}

/* --- a meter --------------------------------------------------------------------------------- */

static const struct farm_counter *counter_told(const struct place_reader *reader,
                                               const struct farm_place *place)
{
    const struct farm *farm = reader->farm->farm;

    for (size_t i = 0; i < farm->counters.count; i++) {
        const struct farm_counter *told = &farm->counters.items[i];

        if (str_equal(told->station, place->station) &&
            str_equal(told->parameter, place->parameter))
            return told;
    }

    return NULL;
}

/* Size and greatest flow are told in the parameter's own unit, as in the judging of limits. */
static struct counter counter_of(struct arena *mem, const struct farm_counter *told)
{
    struct counter counter = {.multiplier = exact_from_int(mem, 1)};

    if (!told)
        return counter;
    if (told->multiplier.coefficient > 0)
        counter.multiplier = exact_from_decimal(mem, told->multiplier);
    if (told->size.coefficient > 0)
        counter.size = counter_full_turn(mem, told->size);
    if (told->most_per_day.coefficient > 0)
        counter.most_per_day = exact_from_decimal(mem, told->most_per_day);

    return counter;
}

static struct counter_reading *counts_of(struct arena *mem, const struct farm_counter *told,
                                         const struct place_values *values, size_t *count)
{
    struct counter_reading *readings = ARENA_ARRAY(mem, struct counter_reading, values->count);

    *count = 0;
    for (size_t i = 0; i < values->count; i++) {
        const struct place_value *value = &values->items[i];

        if (value->in_doubt || value->qualifier != QUALIFIER_NONE ||
            (*count > 0 && readings[*count - 1].at == value->at))
            continue;
        readings[(*count)++] = (struct counter_reading){
            .at = value->at, .count = exact_from_double(mem, value->value)};
    }
    for (size_t i = 0; told && i < told->replaced_count; i++)
        counter_mark_replaced(readings, *count, told->replaced_at[i]);

    return readings;
}

static void meter_add(struct arena *mem, const struct farm_counter *told,
                      const struct place_values *values, struct meter_span *span)
{
    struct counter counter = counter_of(mem, told);
    struct counter_spans spans = {0};
    struct counter_suspects suspects = {0};
    size_t count = 0;
    struct counter_reading *readings = counts_of(mem, told, values, &count);

    counter_spans_of(mem, &counter, readings, count, &spans, &suspects);
    for (size_t i = 0; i < spans.count; i++) {
        const struct counter_span *one = &spans.items[i];
        int64_t inside = overlap_us(one->from, one->until, span->first, span->until);

        if (inside == 0 || !one->volume)
            continue;
        span->amount +=
            exact_double(one->volume) * (double)inside / (double)(one->until - one->from);
        span->known_us += inside;
    }
}

bool meter_read(struct place_reader *reader, const struct farm_place *meter, const char *unit,
                struct meter_span *span, struct err *err)
{
    const struct parameter *parameter =
        parameter_find(&reader->farm->farm->known_parameters, meter->parameter);
    const struct units *units = reader->farm->units;
    struct unit_conversion conversion = {0};
    struct place_values values = {0};

    if (!unit_conversion(units, reader->mem, unit_named(units, parameter->unit),
                         unit_named(units, unit), &conversion, err) ||
        !place_values_load_around(reader, meter, NULL, span->first, span->until, &values, err))
        return false;
    meter_add(reader->mem, counter_told(reader, meter), &values, span);
    span->amount *= conversion.scale_double;

    return true;
}

bool water_flow_whole(const struct water_flow *flow)
{
    return flow->known && flow->known_share >= whole_share;
}

static const char *words_of(struct arena *mem, const struct farm_place *place,
                            const struct water_flow *flow, bool meter)
{
    struct buf text = buf_new(mem);

    buf_addf(&text, "%s at %s", place->parameter, place->station);
    if (!flow->known) {
        buf_addf(&text, " has no readings then that can be used");
        return text.data;
    }
    if (flow->known_share < whole_share)
        buf_addf(&text, ", known for %.0f %% of the time", flow->known_share * 100.0);
    if (flow->shut_h > 0.0)
        buf_addf(&text, ", the outlet shut for %.4g hours", flow->shut_h);
    if (!meter && flow->longest_held_h >= 2.0)
        buf_addf(&text, ", a reading held for up to %.0f hours", flow->longest_held_h);

    return text.data;
}

bool water_flow_of(struct place_reader *reader, const char *station, instant first, instant until,
                   struct water_flow *out, struct err *err)
{
    struct water_flow flow = {.words = "no flow or meter is read there"};
    struct place_values values = {0};
    struct shut_times shut = {0};
    struct farm_place place = {0};
    int64_t known_us = 0;

    if (until <= first)
        return err_set(err, ERR_INVALID, "a span that ends before it begins");
    *out = flow;
    if (!water_place(reader, station, &place))
        return true;

    bool meter = is_meter(reader, &place);

    if (meter) {
        struct meter_span span = {.first = first, .until = until};

        if (!meter_read(reader, &place, "m3", &span, err))
            return false;
        flow.m3 = span.amount;
        known_us = span.known_us;
        flow.known = known_us > 0;
    } else {
        if (!place_values_load_around(reader, &place, "m3/h", first, until, &values, err) ||
            !outlet_shut_load(reader, station, first, until, &shut, err))
            return false;
        flow_add(&values, &shut, first, until, &flow, &known_us);
        flow.shut_h = (double)outlet_shut_us(&shut, first, until) / (double)HOUR_US;
    }
    if (flow.known) {
        flow.m3_per_h = flow.m3 * (double)HOUR_US / (double)known_us;
        flow.known_share = (double)known_us / (double)(until - first);
    }
    flow.words = words_of(reader->mem, &place, &flow, meter);
    *out = flow;

    return true;
}

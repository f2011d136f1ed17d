#include "app/place_values.h"

#include <stdlib.h>

#include "app/look_derived.h"
#include "app/series_filler.h"
#include "base/str.h"
#include "judge/converter.h"
#include "store/aside_store.h"

bool place_reader_open(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       struct place_reader *out, struct err *err)
{
    *out = (struct place_reader){.tx = tx, .mem = mem, .farm = farm};

    return series_store_list(tx, mem, &out->series, err);
}

static bool is_of(const struct farm_place *place, const struct series_row *row)
{
    return place->parameter && str_equal(row->station, place->station) &&
           str_equal(row->parameter, place->parameter) &&
           (!place->position || str_equal(row->position, place->position));
}

/* The place's series, in the order of the list. */
static const struct series_row **rows_of(const struct place_reader *reader,
                                         const struct farm_place *place, size_t *count)
{
    const struct series_row **rows =
        ARENA_ARRAY(reader->mem, const struct series_row *, reader->series.count);

    *count = 0;
    for (size_t i = 0; i < reader->series.count; i++) {
        if (is_of(place, &reader->series.items[i]))
            rows[(*count)++] = &reader->series.items[i];
    }

    return rows;
}

/* What was read of the place, and stored. */
static bool stored_load(struct place_reader *reader, const struct farm_place *place, instant first,
                        instant until, struct evidence_series **out, size_t *count, struct err *err)
{
    struct filler filler = {.mem = reader->mem, .unit_table = reader->farm->units};
    struct buf list = buf_new(reader->mem);
    const struct series_row **rows = rows_of(reader, place, count);

    *out = NULL;
    if (*count == 0)
        return true;
    filler.series = ARENA_ARRAY(reader->mem, struct filler_series, *count);
    filler.series_count = *count;
    for (size_t i = 0; i < *count; i++) {
        filler.series[i].row = rows[i];
        buf_addf(&list, "%s%lld", i ? "," : "{", (long long)rows[i]->series_id);
    }
    buf_add_char(&list, '}');
    if (!reading_store_notes(reader->tx, reader->mem, first, until, &filler.told, err) ||
        !filler_doubts(&filler, reader->tx, reader->farm->farm, first, until, err) ||
        !reading_store_portions(reader->tx, reader->mem, first, until, &filler.portions, err) ||
        !reading_view_list(reader->tx, list.data, first, until, false, filler_add, &filler, err))
        return false;
    *out = filler_series_of(&filler, rows, *count);

    return true;
}

static bool is_made_there(const struct farm_place *place, const struct evidence_series *series)
{
    return series->kind == KIND_DERIVED && str_equal(series->station, place->station) &&
           str_equal(series->parameter, place->parameter) &&
           (!place->position || str_equal(series->position, place->position));
}

/* The part of it that lies in first <= at < until. */
static struct evidence_series clipped(struct evidence_series series, instant first, instant until)
{
    while (series.count > 0 && series.readings[0].at < first) {
        series.readings++;
        series.count--;
    }
    while (series.count > 0 && series.readings[series.count - 1].at >= until)
        series.count--;

    return series;
}

/* What the farm works out to be there, after what was read. */
static bool derived_add(struct place_reader *reader, const struct farm_place *place, instant first,
                        instant until, struct evidence_series **out, size_t *count, struct err *err)
{
    const struct zone *zone = reader->farm->farm->zone;
    struct loaded_evidence loaded;

    if (!place->parameter || !derived_is_made(reader->farm->farm, place->station, place->parameter))
        return true;
    if (!derived_load(reader->tx, reader->mem, reader->farm, place->station, place->parameter,
                      zone_day(zone, first), zone_day(zone, until - 1), until, &loaded, err))
        return false;

    size_t most = *count + loaded.evidence.series_count;
    struct evidence_series *all = ARENA_ARRAY(reader->mem, struct evidence_series, most);

    for (size_t i = 0; i < *count; i++)
        all[i] = (*out)[i];
    for (size_t i = 0; i < loaded.evidence.series_count; i++) {
        if (is_made_there(place, &loaded.evidence.series[i]))
            all[(*count)++] = clipped(loaded.evidence.series[i], first, until);
    }
    *out = all;

    return true;
}

bool place_series_load(struct place_reader *reader, const struct farm_place *place, instant first,
                       instant until, struct evidence_series **out, size_t *count, struct err *err)
{
    return stored_load(reader, place, first, until, out, count, err) &&
           derived_add(reader, place, first, until, out, count, err);
}

static int value_order(const void *a, const void *b)
{
    const struct place_value *left = a;
    const struct place_value *right = b;

    return (left->at > right->at) - (left->at < right->at);
}

static void reading_add(struct place_reader *reader, struct converter *converter,
                        const struct evidence_reading *reading, struct place_values *values)
{
    struct amount amount;

    if (reading->left_out || !reading->counts)
        return;
    if (reading->qualifier == QUALIFIER_NOT_DETECTED ||
        !converter_apply(reader->mem, converter, reading->unit, reading->reported, &amount, NULL)) {
        values->unread++;
        return;
    }
    values->in_doubt += reading->doubt != NULL;
    values->less_than += reading->qualifier == QUALIFIER_LESS;
    LIST_ADD(reader->mem, values,
             ((struct place_value){.at = reading->at,
                                   .until = reading->until,
                                   .value = amount_double(amount),
                                   .qualifier = reading->qualifier,
                                   .in_doubt = reading->doubt != NULL}));
}

/* What is worked out is never put together with what was read at the same place (judge/volume). */
static bool is_worked_out(const struct evidence_series *series, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (series[i].kind == KIND_DERIVED && series[i].count > 0)
            return true;
    }

    return false;
}

bool place_values_load(struct place_reader *reader, const struct farm_place *place,
                       const char *unit, instant first, instant until, struct place_values *out,
                       struct err *err)
{
    const struct parameter *parameter =
        parameter_find(&reader->farm->farm->known_parameters, place->parameter);
    struct evidence_series *series = NULL;
    struct place_values values = {0};
    size_t count = 0;

    *out = values;
    if (!parameter || parameter->kind == PARAMETER_STATE)
        return true;

    struct converter converter =
        converter_to(reader->farm->units, parameter, unit ? unit : parameter->unit);

    if (!converter.to)
        return err_set(err, ERR_INVALID, "%s is not measured in %s", parameter->key, unit);
    if (!place_series_load(reader, place, first, until, &series, &count, err))
        return false;

    bool derived = is_worked_out(series, count);

    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < series[i].count; j++)
            if ((series[i].kind == KIND_DERIVED) == derived)
                reading_add(reader, &converter, &series[i].readings[j], &values);
    }
    if (values.count > 1)
        qsort(values.items, values.count, sizeof(*values.items), value_order);
    *out = values;

    return true;
}

/* The span widened to the neighbours of any series of the place. */
static bool span_widen(struct place_reader *reader, const struct farm_place *place, instant *first,
                       instant *until, struct err *err)
{
    instant from = *first;
    instant to = *until;

    for (size_t i = 0; i < reader->series.count; i++) {
        const struct series_row *row = &reader->series.items[i];
        instant before = INSTANT_NONE;
        instant after = INSTANT_NONE;

        if (!is_of(place, row))
            continue;
        if (!reading_store_neighbours(reader->tx, row->series_id, from, to, &before, &after, err))
            return false;
        if (before != INSTANT_NONE && before < *first)
            *first = before;
        if (after != INSTANT_NONE && after + 1 > *until)
            *until = after + 1;
    }

    return true;
}

bool place_values_load_around(struct place_reader *reader, const struct farm_place *place,
                              const char *unit, instant first, instant until,
                              struct place_values *out, struct err *err)
{
    return span_widen(reader, place, &first, &until, err) &&
           place_values_load(reader, place, unit, first, until, out, err);
}

static int state_order(const void *a, const void *b)
{
    const struct place_state *left = a;
    const struct place_state *right = b;

    return (left->at > right->at) - (left->at < right->at);
}

bool place_states_load(struct place_reader *reader, const struct farm_place *place, instant first,
                       instant until, struct place_states *out, struct err *err)
{
    struct evidence_series *series = NULL;
    struct place_states states = {0};
    instant last = until;
    size_t count = 0;

    *out = states;
    if (!place->parameter)
        return true;
    if (!span_widen(reader, place, &first, &last, err) ||
        !place_series_load(reader, place, first, until, &series, &count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < series[i].count; j++) {
            const struct evidence_reading *reading = &series[i].readings[j];

            if (!reading->left_out)
                LIST_ADD(reader->mem, &states,
                         ((struct place_state){.at = reading->at,
                                               .word = reading->unit,
                                               .in_doubt = reading->doubt != NULL}));
        }
    }
    if (states.count > 1)
        qsort(states.items, states.count, sizeof(*states.items), state_order);
    *out = states;

    return true;
}

double place_amount(const struct place_reader *reader, const struct farm_amount *amount,
                    const char *unit)
{
    const struct units *units = reader->farm->units;
    struct unit_conversion conversion = {0};
    struct err err = ERR_INIT;

    if (!amount->unit || !unit_conversion(units, reader->mem, unit_named(units, amount->unit),
                                          unit_named(units, unit), &conversion, &err))
        return 0.0;

    return unit_apply_double(&conversion, decimal_double(amount->number));
}

bool place_mean(const struct place_values *values, double *mean, size_t *readings)
{
    double sum = 0.0;

    *readings = 0;
    for (size_t i = 0; i < values->count; i++) {
        if (values->items[i].in_doubt || values->items[i].qualifier == QUALIFIER_GREATER)
            continue;
        sum += values->items[i].value;
        (*readings)++;
    }
    if (*readings == 0)
        return false;
    *mean = sum / (double)*readings;

    return true;
}

char *place_rests_on(struct arena *mem, const struct place_values *values, const char *of)
{
    struct buf text = buf_new(mem);
    size_t greater = 0;

    for (size_t i = 0; i < values->count; i++)
        greater += values->items[i].qualifier == QUALIFIER_GREATER && !values->items[i].in_doubt;

    size_t used = values->count - values->in_doubt - greater;

    buf_addf(&text, "mean of %zu %s of %s", used, used == 1 ? "reading" : "readings", of);
    if (values->less_than)
        buf_addf(&text, ", %zu %s taken at %s limit", values->less_than,
                 values->less_than == 1 ? "less-than" : "less-thans",
                 values->less_than == 1 ? "its" : "their");
    if (greater)
        buf_addf(&text, ", without %zu %s", greater,
                 greater == 1 ? "greater-than" : "greater-thans");
    if (values->in_doubt)
        buf_addf(&text, ", without %zu in doubt", values->in_doubt);
    if (values->unread)
        buf_addf(&text, ", without %zu that have no number", values->unread);

    return text.data;
}

static bool may_be_of(const struct aside_row *row, const struct farm_place *place)
{
    return place->parameter && (!row->station || str_equal(row->station, place->station)) &&
           (!row->parameter || str_equal(row->parameter, place->parameter));
}

bool place_rows_waiting(struct place_reader *reader, const struct farm_place *const *places,
                        size_t count, instant first, instant until, int *rows, struct err *err)
{
    struct aside_rows waiting = {0};
    int found = 0;

    if (!aside_store_between(reader->tx, reader->mem, first, until, false, &waiting, err))
        return false;
    for (size_t i = 0; i < waiting.count; i++) {
        bool any = false;

        for (size_t k = 0; k < count; k++)
            any = any || may_be_of(&waiting.items[i], places[k]);
        found += any;
    }
    *rows = found;

    return true;
}

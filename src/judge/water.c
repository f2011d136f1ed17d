#include "judge/water.h"

#include <stdlib.h>

#include "base/str.h"
#include "judge/alternatives.h"
#include "judge/converter.h"
#include "judge/gather.h"

static const char set_aside_words[] = "set aside";

bool water_is_meter(const struct water *water)
{
    return water->known && water->known->kind == PARAMETER_COUNTER;
}

static int order(const void *a, const void *b)
{
    const struct water_reading *left = a;
    const struct water_reading *right = b;

    if (left->reading->at != right->reading->at)
        return left->reading->at < right->reading->at ? -1 : 1;

    int by_number = decimal_compare(left->reading->reported, right->reading->reported);

    if (by_number != 0)
        return by_number;

    /* What is stored (SIZE_MAX) before a row of the same number. */
    return (left->row + 1 > right->row + 1) - (left->row + 1 < right->row + 1);
}

/* Work on what is gathered. */
struct gathering {
    const struct judgement *judgement;
    struct converter converter;
    int64_t reach_us; /* how far beside the judged days one in doubt may matter */
    struct water *water;
};

static struct water_reading reading_of(struct gathering *gathering,
                                       const struct evidence_reading *reading)
{
    struct water_reading out = {
        .reading = reading, .row = SIZE_MAX, .in_doubt = reading->doubt != NULL};
    bool is_number = reading->qualifier == QUALIFIER_NONE ||
                     (reading->qualifier == QUALIFIER_LESS && !water_is_meter(gathering->water));

    out.known = is_number && converter_apply(gathering->judgement->mem, &gathering->converter,
                                             reading->unit, reading->reported, &out.value, NULL);

    return out;
}

static bool usable(const struct evidence_reading *reading)
{
    return !reading->left_out && reading->counts;
}

/* Beside the judged days: the sound one nearest to them, and what is in doubt nearer than that. */
static void add_beside(struct gathering *gathering, const struct evidence_series *series,
                       size_t first, bool before)
{
    const struct judgement *judgement = gathering->judgement;
    instant edge = before ? judgement->from_at : judgement->until_at;
    bool any = false;

    for (size_t i = first; before ? i > 0 : i < series->count; before ? i-- : i++) {
        const struct evidence_reading *reading = &series->readings[before ? i - 1 : i];

        if (!usable(reading))
            continue;

        struct water_reading one = reading_of(gathering, reading);

        one.farther = any;
        if (!any || !one.in_doubt || llabs(reading->at - edge) <= gathering->reach_us)
            LIST_ADD(judgement->mem, gathering->water, one);
        if (!one.in_doubt)
            return;
        any = true;
    }
}

static void add_series(struct gathering *gathering, const struct evidence_series *series)
{
    const struct judgement *judgement = gathering->judgement;
    size_t first = gather_first_from(series, judgement->from_at);
    size_t after = first;

    for (; after < series->count && series->readings[after].at < judgement->until_at; after++)
        if (usable(&series->readings[after]))
            LIST_ADD(judgement->mem, gathering->water,
                     reading_of(gathering, &series->readings[after]));
    add_beside(gathering, series, first, true);
    add_beside(gathering, series, after, false);
}

static bool is_water(const struct judgement *judgement, const struct evidence_series *series,
                     const struct water *water)
{
    if (judgement->limit->daily == DAILY_TOTAL)
        return gather_series_at(judgement->limit, water->place, series);

    return str_equal(series->station, water->place->station) &&
           str_equal(series->parameter, water->parameter);
}

/* What is worked out from other readings is never added to what was read at the same place. */
static bool is_worked_out(const struct judgement *judgement, const struct water *water)
{
    const struct evidence *evidence = judgement->evidence;

    for (size_t i = 0; i < evidence->series_count; i++)
        if (evidence->series[i].kind == KIND_DERIVED &&
            is_water(judgement, &evidence->series[i], water))
            return true;

    return false;
}

/* --- rows set aside ----------------------------------------------------------------------------
 */

static bool fits_kinds(const struct limit *limit, const struct evidence_set_aside *row)
{
    unsigned kinds = row->kind         ? row->kind
                     : row->from_probe ? KIND_PROBE
                                       : KIND_GRAB | KIND_COMPOSITE | KIND_BY_HAND;

    return limit->daily != DAILY_TOTAL || limit->kinds == 0 || (limit->kinds & kinds) != 0;
}

/* How long before the judged days a reading may lie that stands into them. */
static int64_t reach_of(const struct judgement *judgement)
{
    int64_t stands_us = (int64_t)judgement->limit->reading_stands_s * SECOND_US;

    return stands_us > 0 ? stands_us : DAY_US;
}

static bool fits(const struct gathering *gathering, const struct evidence_set_aside *row,
                 bool worked_out)
{
    const struct judgement *judgement = gathering->judgement;
    const struct water *water = gathering->water;

    if ((row->station && !str_equal(row->station, water->place->station)) ||
        (row->parameter && !str_equal(row->parameter, water->parameter)) ||
        (row->kind == KIND_DERIVED) != worked_out || !fits_kinds(judgement->limit, row))
        return false;

    return row->at == INSTANT_NONE || (row->at >= judgement->from_at - gathering->reach_us &&
                                       row->at < judgement->until_at + gathering->reach_us);
}

static void add_row_in(struct gathering *gathering, const struct evidence_set_aside *row,
                       const char *unit, bool tried)
{
    struct arena *mem = gathering->judgement->mem;
    struct evidence_reading *reading = ARENA_NEW(mem, struct evidence_reading);

    *reading = (struct evidence_reading){.at = row->at,
                                         .until = row->at,
                                         .qualifier = row->qualifier,
                                         .reported = row->value,
                                         .unit = unit,
                                         .doubt = set_aside_words,
                                         .counts = true,
                                         .origin = row->origin};

    struct water_reading one = reading_of(gathering, reading);

    one.row = (size_t)(row - gathering->judgement->evidence->set_aside);
    one.tried = tried;
    if (row->at == INSTANT_NONE)
        LIST_ADD(mem, &gathering->water->timeless, one);
    else
        LIST_ADD(mem, gathering->water, one);
}

/* Whether a unit that was read is one of a flow, or of a meter. */
static bool is_unit_of_water(struct gathering *gathering, const struct evidence_set_aside *row)
{
    struct amount value;

    return converter_apply(gathering->judgement->mem, &gathering->converter, row->unit,
                           (struct decimal){1, 0}, &value, NULL);
}

/* A flow at that time was no number though all of it was read: the one before does not run on. */
static void add_unknown(struct gathering *gathering, const struct evidence_set_aside *row)
{
    struct evidence_reading *reading =
        ARENA_NEW(gathering->judgement->mem, struct evidence_reading);

    *reading = (struct evidence_reading){.at = row->at,
                                         .until = row->at,
                                         .qualifier = QUALIFIER_NOT_DETECTED,
                                         .counts = true,
                                         .origin = row->origin};
    LIST_ADD(gathering->judgement->mem, gathering->water,
             ((struct water_reading){.reading = reading, .row = SIZE_MAX}));
}

static void add_row(struct gathering *gathering, const struct evidence_set_aside *row)
{
    const struct parameter *known = gathering->water->known;

    if (!row->has_value) {
        if (row->all_read && row->from_probe && row->at != INSTANT_NONE &&
            !water_is_meter(gathering->water))
            add_unknown(gathering, row);
        return;
    }
    if (row->unit && is_unit_of_water(gathering, row)) {
        add_row_in(gathering, row, row->unit, false);
        return;
    }
    for (size_t i = 0; known && i < PARAMETER_UNITS_MOST && known->units[i]; i++)
        add_row_in(gathering, row, known->units[i], true);
}

static struct gathering gathering_of(const struct judgement *judgement, struct water *water)
{
    const char *unit = water_is_meter(water) ? water->known->unit : "m3/s";

    return (struct gathering){
        .judgement = judgement,
        .converter = converter_to(judgement->evidence->units, water->known, unit),
        .reach_us = reach_of(judgement),
        .water = water,
    };
}

/* Whether the row is of it: its own unit may show that it is of another parameter. */
static bool row_is_of(struct gathering *gathering, const struct evidence_set_aside *row,
                      bool worked_out)
{
    return fits(gathering, row, worked_out) &&
           (!row->unit || row->parameter || is_unit_of_water(gathering, row));
}

struct water water_gather(const struct judgement *judgement, const struct limit_place *place,
                          const char *parameter)
{
    const struct evidence *evidence = judgement->evidence;
    struct water water = {.place = place,
                          .parameter = parameter,
                          .known = parameter_find(evidence->parameters, parameter)};
    struct gathering gathering = gathering_of(judgement, &water);
    bool worked_out = is_worked_out(judgement, &water);

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (is_water(judgement, series, &water) && (series->kind == KIND_DERIVED) == worked_out)
            add_series(&gathering, series);
    }
    for (size_t i = 0; i < evidence->set_aside_count; i++)
        if (row_is_of(&gathering, &evidence->set_aside[i], worked_out))
            add_row(&gathering, &evidence->set_aside[i]);
    if (water.count > 0)
        qsort(water.items, water.count, sizeof(*water.items), order);

    return water;
}

bool water_is_in_doubt(const struct water *water)
{
    bool any = water->timeless.count > 0;

    for (size_t i = 0; i < water->count && !any; i++)
        any = water->items[i].in_doubt;

    return any;
}

bool water_same(const struct water *a, const struct water *b)
{
    if (a->count != b->count || a->timeless.count != b->timeless.count ||
        !a->is_sure != !b->is_sure || (a->is_sure && a->highest != b->highest))
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (a->items[i].reading != b->items[i].reading)
            return false;

    return true;
}

struct limit_flow water_source(const struct judgement *judgement, const struct judged_place *place)
{
    const struct limit *limit = judgement->limit;

    if (limit->daily == DAILY_TOTAL)
        return (struct limit_flow){place->place.station, limit->parameter};
    if (limit->daily == DAILY_LOAD || limit->daily == DAILY_FLOW_WEIGHTED_MEAN ||
        limit->statistic == STATISTIC_FLOW_WEIGHTED_MEAN)
        return place->flow;

    return (struct limit_flow){NULL, NULL};
}

bool water_may_be(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    for (size_t i = 0; i < judgement->place_count; i++) {
        const struct limit_flow source = water_source(judgement, &judgement->places[i]);
        const struct limit_place at = {source.station, NULL};

        if (!source.station || !source.parameter)
            continue;

        struct water water = {
            .place = judgement->limit->daily == DAILY_TOTAL ? &judgement->places[i].place : &at,
            .parameter = source.parameter,
            .known = parameter_find(judgement->evidence->parameters, source.parameter)};
        struct gathering gathering = gathering_of(judgement, &water);

        if (row_is_of(&gathering, row, is_worked_out(judgement, &water)))
            return true;
    }

    return false;
}

enum water_version water_of_pass(const struct judgement *judgement, enum pass pass, size_t place)
{
    static const enum water_version rising[] = {
        [PASS_WITHOUT] = WATER_SOUND,         [PASS_ALL] = WATER_ALL,
        [PASS_ABOVE] = WATER_HIGHEST,         [PASS_BELOW] = WATER_LOWEST,
        [PASS_TRY_ABOVE] = WATER_TRY_HIGHEST, [PASS_TRY_BELOW] = WATER_TRY_LOWEST,
    };
    static const enum water_version falling[] = {
        [PASS_WITHOUT] = WATER_SOUND,        [PASS_ALL] = WATER_ALL,
        [PASS_ABOVE] = WATER_LOWEST,         [PASS_BELOW] = WATER_HIGHEST,
        [PASS_TRY_ABOVE] = WATER_TRY_LOWEST, [PASS_TRY_BELOW] = WATER_TRY_HIGHEST,
    };

    return (alternatives_fall(judgement, place) ? falling : rising)[pass];
}

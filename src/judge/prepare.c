#include "judge/prepare.h"

#include <stdlib.h>

#include "judge/against.h"
#include "judge/alternatives.h"
#include "judge/bound_beside.h"
#include "judge/bound_by.h"
#include "judge/figure.h"
#include "judge/gather.h"
#include "judge/gather_readings.h"
#include "judge/intakes.h"
#include "judge/reduce.h"
#include "judge/set_aside.h"
#include "judge/volume.h"
#include "measure/load.h"

/* The unit that readings are turned into. */
static const char *reading_unit(const struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;
    const char *canonical = judgement->parameter ? judgement->parameter->unit : NULL;

    if (limit->daily == DAILY_TOTAL)
        return canonical;
    if (limit->daily == DAILY_LOAD)
        return limit->load_concentration_unit ? limit->load_concentration_unit : canonical;

    return limit->unit;
}

/* The licence's own factor: for its unit of concentration and its unit of water. */
static bool stated_factor(struct judgement *judgement, struct err *err)
{
    const struct limit *limit = judgement->limit;
    struct arena *mem = judgement->mem;
    const struct exact *factor = exact_from_text(mem, limit->load_factor);
    const struct exact *per_m3 = NULL;

    if (!factor)
        return err_set(err, ERR_INVALID, "the factor of the load is not a number: %s",
                       limit->load_factor);
    if (!volume_per_m3(mem, judgement->evidence->units, limit->load_flow_unit, &per_m3, err))
        return false;
    judgement->load_factor = exact_mul(mem, factor, per_m3);

    return true;
}

/* The factor that follows from the units: of m3 in a day, or of m3. */
static bool exact_factor(struct judgement *judgement, struct err *err)
{
    const struct units *units = judgement->evidence->units;
    const struct unit *concentration = NULL;
    const struct unit *load = NULL;
    struct err ignored = ERR_INIT;

    if (!unit_find(units, reading_unit(judgement), judgement->parameter, &concentration, err) ||
        !unit_find(units, judgement->limit->unit, NULL, &load, err))
        return false;

    return load_factor(judgement->mem, concentration, unit_named(units, "m3/day"), load,
                       &judgement->load_factor, &ignored) ||
           load_factor(judgement->mem, concentration, unit_named(units, "m3"), load,
                       &judgement->load_factor, err);
}

static bool find_factor(struct judgement *judgement, struct err *err)
{
    const struct limit *limit = judgement->limit;

    if (limit->daily == DAILY_TOTAL)
        return volume_per_m3(judgement->mem, judgement->evidence->units, limit->unit,
                             &judgement->load_factor, err);

    return limit->load_factor ? stated_factor(judgement, err) : exact_factor(judgement, err);
}

static void find_places(struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;
    bool against = limit->against.kind != AGAINST_NONE;

    judgement->place_count = 1 + limit->added_count + against;
    judgement->places = ARENA_ARRAY(judgement->mem, struct judged_place, judgement->place_count);
    judgement->places[0] =
        (struct judged_place){.place = {limit->station, limit->position}, .flow = limit->flow};
    for (size_t i = 0; i < limit->added_count; i++) {
        judgement->places[i + 1].place = limit->added[i];
        if (limit->added_flows)
            judgement->places[i + 1].flow = limit->added_flows[i];
    }
    if (against)
        judgement->places[judgement->place_count - 1] = (struct judged_place){
            .place = limit->against.place, .flow = limit->against.flow, .against = true};
}

/* The nearer of two in time, of which one may be NULL. */
static const struct use *nearer(const struct use *to, const struct use *a, const struct use *b)
{
    if (!a || !b)
        return a ? a : b;

    return llabs(to->at - a->at) <= llabs(to->at - b->at) ? a : b;
}

static bool is_intake(const struct judgement *judgement, const struct use *use)
{
    return judgement->places[use->place].against && !use->why_not && use->has_value &&
           use->day != NO_INDEX;
}

/* The result of the place compared with that is nearest in time; NULL: there is none. */
static const struct use *nearest_intake(const struct judgement *judgement, const struct use *use)
{
    const struct use *end = judgement->items + judgement->count;
    const struct use *before = use;
    const struct use *after = use;

    while (before && !is_intake(judgement, before))
        before = before > judgement->items ? before - 1 : NULL;
    while (after && !is_intake(judgement, after))
        after = after + 1 < end ? after + 1 : NULL;

    return nearer(use, before, after);
}

/* In doubt, and held against another place: by the nearest result there, as the figure will be. */
static enum fit fit_against(const struct judgement *judgement, const struct use *use)
{
    if (judgement->intakes) {
        const struct figure discharge = {
            .range = figure_allowed(use), .at = use->at, .day = use->day, .use = NO_INDEX};

        return intakes_fit(judgement, &discharge);
    }

    const struct use *intake = nearest_intake(judgement, use);

    if (!intake)
        return figure_fit_alone(judgement, use);

    struct figure here = {.range = figure_allowed(use), .use = NO_INDEX};
    struct figure there = {.range = figure_allowed(intake), .use = NO_INDEX};
    struct figure pair = against_pair(judgement, &here, &there);

    return bound_fit(judgement->mem, &judgement->bound, &pair.range);
}

static enum fit fit_alone(const struct judgement *judgement, const struct use *use)
{
    const struct limit *limit = judgement->limit;

    if (limit->daily == DAILY_TOTAL)
        return FIT_UNKNOWN;
    if (limit->daily == DAILY_LOAD)
        return reduce_load_fit(judgement, use);
    if (limit->against.kind != AGAINST_NONE && use->trust != TRUST_SOUND &&
        !judgement->places[use->place].against)
        return fit_against(judgement, use);

    /* What is blocked is beyond its bound or can't be told, and never within it. */
    enum fit fit = figure_fit_alone(judgement, use);

    return fit == FIT_WITHIN && use->blocked ? FIT_UNKNOWN : fit;
}

/* When the clause applies, where that is not all of its days. */
static void find_spans(struct judgement *judgement)
{
    struct applies_spans *spans;

    if (!applies_within_days(judgement->limit) &&
        !applies_while_open(judgement->evidence, judgement->limit))
        return;
    spans = ARENA_NEW(judgement->mem, struct applies_spans);
    *spans = applies_spans_of(judgement->mem, judgement->evidence, judgement->limit,
                              judgement->from_at, judgement->until_at);
    judgement->applies = spans;
}

void prepare_frame(struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;

    judgement->parameter = parameter_find(judgement->evidence->parameters, limit->parameter);
    judgement->bound = bound_by_frame(limit);
    judgement->statistic = limit_statistic_row(limit);
    judgement->single = limit_of_single_values(limit);
}

void prepare_fits(struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;
    bool each_alone = limit->statistic == STATISTIC_VALUE && limit->daily == DAILY_EVERY;

    for (size_t i = 0; i < judgement->count; i++)
        if (each_alone || judgement->items[i].trust != TRUST_SOUND)
            judgement->items[i].fit = fit_alone(judgement, &judgement->items[i]);
}

bool prepare_judgement(struct judgement *judgement, day_number from, day_number to, bool in_full,
                       struct err *err)
{
    const struct limit *limit = judgement->limit;
    bool adds_up = limit->daily == DAILY_TOTAL || limit->daily == DAILY_LOAD;

    prepare_frame(judgement);
    find_places(judgement);
    gather_days(judgement, from, to, in_full);
    judgement->outlet_rows = outlet_rows_of(judgement->mem, judgement->evidence);
    find_spans(judgement);
    if (judgement->after_asked == 0)
        judgement->after_asked = judgement->day_count;
    if (adds_up && !find_factor(judgement, err))
        return false;

    gather_readings(judgement, reading_unit(judgement));
    set_aside_gather(judgement, reading_unit(judgement));
    gather_sort(judgement);
    bound_by_fill(judgement);
    intakes_find(judgement);
    volume_find(judgement);
    prepare_fits(judgement);
    alternatives_settle(judgement);
    bound_beside_settle(judgement);

    return true;
}

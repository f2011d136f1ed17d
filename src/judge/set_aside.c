#include "judge/set_aside.h"

#include "base/str.h"
#include "judge/converter.h"
#include "judge/gather.h"

static bool kind_fits(const struct limit *limit, const struct evidence_set_aside *row)
{
    unsigned kinds = row->from_probe ? KIND_PROBE : KIND_GRAB | KIND_COMPOSITE | KIND_BY_HAND;

    return limit->kinds == 0 || (limit->kinds & kinds) != 0;
}

static bool is_of(const struct evidence_set_aside *row, const char *station, const char *parameter)
{
    return (!row->station || str_equal(row->station, station)) &&
           (!row->parameter || str_equal(row->parameter, parameter));
}

/* Whether its time is one that is judged, or unknown. */
static bool time_fits(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    if (row->at == INSTANT_NONE)
        return true;

    int day = judgement_day(judgement, row->at);

    return day != NO_INDEX && !judgement->days[day].why_not;
}

static size_t number_of(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    return (size_t)(row - judgement->evidence->set_aside);
}

static void keep_row(struct judgement *judgement, const struct evidence_set_aside *row)
{
    LIST_ADD(judgement->mem, &judgement->asides, number_of(judgement, row));
}

static struct use use_of(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    return (struct use){
        .series = NO_INDEX,
        .reading = number_of(judgement, row),
        .at = row->at,
        .until = row->at,
        .day = row->at == INSTANT_NONE ? NO_INDEX : judgement_day(judgement, row->at),
        .qualifier = row->has_value ? row->qualifier : QUALIFIER_NOT_DETECTED,
        .has_value = row->has_value,
        .trust = TRUST_IN_DOUBT,
    };
}

/* What the row may have been at most and at least, over all units its parameter allows. */
static void try_units(struct judgement *judgement, struct converter *converter,
                      const struct evidence_set_aside *row)
{
    const struct parameter *parameter = judgement->parameter;
    struct use highest = use_of(judgement, row);
    struct use lowest = highest;
    bool tried = false;

    for (size_t i = 0; parameter && i < PARAMETER_UNITS_MOST && parameter->units[i]; i++) {
        struct use use = highest;

        if (!converter_apply(judgement->mem, converter, parameter->units[i], row->value, &use.value,
                             &use.step))
            continue;
        if (!tried || amount_compare(judgement->mem, use.value, highest.value) > 0)
            highest = use;
        if (!tried || amount_compare(judgement->mem, use.value, lowest.value) < 0)
            lowest = use;
        tried = true;
    }
    if (!tried)
        return;

    highest.trust = lowest.trust = TRUST_TRIED;
    highest.tried_side = SIDE_ABOVE;
    lowest.tried_side = SIDE_BELOW;
    LIST_ADD(judgement->mem, judgement, highest);
    LIST_ADD(judgement->mem, judgement, lowest);
    if (!judgement->tried_words)
        judgement->tried_words = arena_printf(
            judgement->mem,
            "a row set aside (line %d: %s) could be outside in one of the units tried: %s",
            row->origin.line, decimal_text(judgement->mem, row->value),
            parameter_units_text(judgement->mem, parameter));
}

/* False when its own unit shows that it is of another parameter. */
static bool add_value(struct judgement *judgement, struct converter *converter,
                      const struct evidence_set_aside *row)
{
    struct use use = use_of(judgement, row);

    if (row->unit &&
        converter_apply(judgement->mem, converter, row->unit, row->value, &use.value, &use.step)) {
        LIST_ADD(judgement->mem, judgement, use);
        return true;
    }
    if (row->unit && !row->parameter)
        return false;
    try_units(judgement, converter, row);

    return true;
}

static void add_row(struct judgement *judgement, struct converter *converter,
                    const struct evidence_set_aside *row)
{
    const struct limit *limit = judgement->limit;
    bool of_sample = !row->from_probe;

    if (limit->daily == DAILY_TOTAL) {
        keep_row(judgement, row);
        return;
    }
    if (row->has_value && !add_value(judgement, converter, row))
        return;
    keep_row(judgement, row);
    if (row->has_value)
        return;
    if (row->qualifier == QUALIFIER_NOT_DETECTED)
        LIST_ADD(judgement->mem, judgement, use_of(judgement, row));
    else if (of_sample && !judgement->sample_without_number) {
        judgement->numberless = number_of(judgement, row);
        judgement->sample_without_number =
            arena_printf(judgement->mem,
                         "a sample's result was set aside and has no number "
                         "(line %d: %s)",
                         row->origin.line, row->reason ? row->reason : "unreadable");
    }
}

void set_aside_gather(struct judgement *judgement, const char *unit)
{
    const struct evidence *evidence = judgement->evidence;
    const struct limit *limit = judgement->limit;
    struct converter converter = converter_to(evidence->units, judgement->parameter, unit);

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];

        if (!time_fits(judgement, row) ||
            (row->at != INSTANT_NONE && gather_shut_at(judgement, row->at, !row->from_probe)))
            continue;
        if (is_of(row, limit->station, limit->parameter) && kind_fits(limit, row))
            add_row(judgement, &converter, row);
        else if (limit->daily == DAILY_LOAD &&
                 is_of(row, limit->flow.station, limit->flow.parameter))
            keep_row(judgement, row);
    }
}

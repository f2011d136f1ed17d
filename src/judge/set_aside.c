#include "judge/set_aside.h"

#include "base/str.h"
#include "judge/alternatives.h"
#include "judge/applies.h"
#include "judge/bound_by.h"
#include "judge/converter.h"
#include "judge/gather.h"
#include "judge/limit_reads.h"
#include "judge/water.h"

static const char *place_of_row(const struct judgement *judgement,
                                const struct evidence_set_aside *row)
{
    return row->place ? row->place : arena_printf(judgement->mem, "line %d", row->origin.line);
}

static bool kind_fits(const struct limit *limit, const struct evidence_set_aside *row)
{
    unsigned kinds = row->kind         ? row->kind
                     : row->from_probe ? KIND_PROBE
                                       : KIND_GRAB | KIND_COMPOSITE | KIND_BY_HAND;

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

/* The place of the clause that a row could be of; NO_INDEX: none. */
static int place_of(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    for (size_t i = 0; i < judgement->place_count && kind_fits(judgement->limit, row); i++) {
        if (is_of(row, judgement->places[i].place.station, judgement->limit->parameter))
            return (int)i;
    }

    return NO_INDEX;
}

/* Whether its time is one at which a reading may be that the clause looks at. */
static bool time_reads(const struct judgement *judgement, const struct evidence_set_aside *row,
                       const struct limit_read *read)
{
    if (row->at == INSTANT_NONE || judgement_day(judgement, row->at) != NO_INDEX)
        return time_fits(judgement, row);

    return row->at >= judgement->from_at - read->before_s * SECOND_US &&
           row->at < judgement->until_at + read->after_s * SECOND_US;
}

static bool is_of_a_place(const struct judgement *judgement, const struct limit_read *read)
{
    for (size_t i = 0; i < judgement->place_count; i++) {
        if (str_equal(judgement->places[i].place.station, read->station) &&
            str_equal(judgement->limit->parameter, read->parameter))
            return true;
    }

    return false;
}

static bool is_of_water(const struct judgement *judgement, const struct limit_read *read)
{
    for (size_t i = 0; i < judgement->place_count; i++) {
        const struct limit_flow source = water_source(judgement, &judgement->places[i]);

        if (str_equal(source.station, read->station) &&
            str_equal(source.parameter, read->parameter))
            return true;
    }

    return false;
}

/* Whether it could be a reading that the clause looks at beside those of its places. */
static bool may_be_read(const struct judgement *judgement, const struct limit_read_list *reads,
                        const struct evidence_set_aside *row)
{
    for (size_t i = 0; i < reads->count; i++) {
        const struct limit_read *read = &reads->items[i];

        if (is_of(row, read->station, read->parameter) && !is_of_a_place(judgement, read) &&
            !is_of_water(judgement, read) && time_reads(judgement, row, read))
            return true;
    }

    return false;
}

/* Whether it is known that the clause does not apply to it. */
static bool does_not_apply(const struct judgement *judgement, struct applies_rule *rule,
                           const struct evidence_set_aside *row, int place)
{
    int day = row->at == INSTANT_NONE ? NO_INDEX : judgement_day(judgement, row->at);

    if (day == NO_INDEX)
        return false;
    if (applies_at(judgement->mem, rule, row->at, judgement->days[day].day).answer == APPLIES_NO)
        return true;

    return str_equal(judgement->places[place].place.station, judgement->limit->station) &&
           gather_shut_at(judgement, row->at, !row->from_probe) != NULL;
}

static size_t number_of(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    return (size_t)(row - judgement->evidence->set_aside);
}

static struct use use_of(const struct judgement *judgement, const struct evidence_set_aside *row,
                         int place)
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
        .doubt = "set aside",
        .place = (size_t)place,
    };
}

/* What the row may have been at most and at least, over all units its parameter allows. */
static void try_units(struct judgement *judgement, struct converter *converter,
                      const struct evidence_set_aside *row, int place)
{
    const struct parameter *parameter = judgement->parameter;
    struct use highest = use_of(judgement, row, place);
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
    highest.tried_side = alternatives_fall(judgement, (size_t)place) ? SIDE_BELOW : SIDE_ABOVE;
    lowest.tried_side = alternatives_fall(judgement, (size_t)place) ? SIDE_ABOVE : SIDE_BELOW;
    LIST_ADD(judgement->mem, judgement, highest);
    LIST_ADD(judgement->mem, judgement, lowest);
    if (!judgement->tried_words)
        judgement->tried_words =
            arena_printf(judgement->mem,
                         "a row set aside (%s: %s) could be outside in one of the units tried: %s",
                         place_of_row(judgement, row), decimal_text(judgement->mem, row->value),
                         parameter_units_text(judgement->mem, parameter));
}

/* False when its own unit shows that it is of another parameter. */
static bool add_value(struct judgement *judgement, struct converter *converter,
                      const struct evidence_set_aside *row, int place)
{
    struct use use = use_of(judgement, row, place);

    if (row->unit &&
        converter_apply(judgement->mem, converter, row->unit, row->value, &use.value, &use.step)) {
        LIST_ADD(judgement->mem, judgement, use);
        return true;
    }
    if (row->unit && !row->parameter)
        return false;
    try_units(judgement, converter, row, place);

    return true;
}

/* The row's word of a state as a number, where it is one of the parameter's. */
static bool add_state(struct judgement *judgement, const struct evidence_set_aside *row, int place)
{
    struct use use = use_of(judgement, row, place);

    if (!row->unit || !judgement->parameter || !parameter_state(judgement->parameter, row->unit))
        return false;
    use.has_value = true;
    use.qualifier = QUALIFIER_NONE;
    use.value = bound_by_state(judgement->limit, row->unit);
    LIST_ADD(judgement->mem, judgement, use);

    return true;
}

static void note_numberless(struct judgement *judgement, const struct evidence_set_aside *row,
                            bool of_water)
{
    if (row->from_probe || judgement->sample_without_number)
        return;
    judgement->numberless = number_of(judgement, row);
    if (row->kind == KIND_DERIVED) {
        judgement->sample_without_number = row->reason;
        return;
    }
    judgement->sample_without_number = arena_printf(
        judgement->mem, "a %s was set aside and has no %s (%s: %s)",
        of_water ? "reading of the meter or flow" : "sample's result",
        judgement->limit->bound_by.kind == BOUND_STATE ? "word that can be read" : "number",
        place_of_row(judgement, row), row->reason ? row->reason : "unreadable");
}

/* Whether it was listed: it may be of another parameter after all. */
static bool add_row(struct judgement *judgement, struct converter *converter,
                    const struct evidence_set_aside *row, int place)
{
    bool is_state = judgement->limit->bound_by.kind == BOUND_STATE;

    if (!is_state && row->has_value && !add_value(judgement, converter, row, place))
        return false;
    if (is_state ? add_state(judgement, row, place) : row->has_value)
        return true;
    if (!is_state && row->qualifier == QUALIFIER_NOT_DETECTED)
        LIST_ADD(judgement->mem, judgement, use_of(judgement, row, place));
    else
        note_numberless(judgement, row, false);

    return true;
}

/* A row of a place's own readings; the water of totals is found by volume_find(). */
static bool is_own(const struct judgement *judgement, struct applies_rule *rule,
                   const struct evidence_set_aside *row, int place)
{
    return place != NO_INDEX && judgement->limit->daily != DAILY_TOTAL &&
           !does_not_apply(judgement, rule, row, place);
}

void set_aside_gather(struct judgement *judgement, const char *unit)
{
    const struct evidence *evidence = judgement->evidence;
    const struct limit *limit = judgement->limit;
    struct converter converter = converter_to(evidence->units, judgement->parameter, unit);
    struct applies_rule rule = applies_rule_of(judgement->mem, evidence, limit);
    struct limit_read_list reads = limit_reads(judgement->mem, limit);

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];
        int place = time_fits(judgement, row) ? place_of(judgement, row) : NO_INDEX;
        bool listed =
            is_own(judgement, &rule, row, place) && add_row(judgement, &converter, row, place);

        if (water_may_be(judgement, row)) {
            if (!row->has_value)
                note_numberless(judgement, row, true);
            listed = true;
        } else if (place == NO_INDEX) {
            listed = may_be_read(judgement, &reads, row);
        }
        if (listed)
            LIST_ADD(judgement->mem, &judgement->asides, i);
    }
}

#include "judge/set_aside.h"

#include "base/str.h"
#include "judge/alternatives.h"
#include "judge/applies.h"
#include "judge/bound_by.h"
#include "judge/converter.h"
#include "judge/gather.h"
#include "judge/limit_reads.h"
#include "judge/stand_in.h"
#include "judge/water.h"

static const char *place_of_row(const struct judgement *judgement,
                                const struct evidence_set_aside *row)
{
    return row->place ? row->place : arena_printf(judgement->mem, "line %d", row->origin.line);
}

bool set_aside_kind_fits(const struct limit *limit, const struct evidence_set_aside *row)
{
    unsigned kinds = row->kind         ? row->kind
                     : row->from_probe ? KIND_PROBE
                                       : KIND_GRAB | KIND_COMPOSITE | KIND_BY_HAND;

    return limit->kinds == 0 || (limit->kinds & kinds) != 0;
}

/* Whether its time is one that is judged, or unknown. */
static bool time_fits(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    if (row->at == INSTANT_NONE)
        return true;

    int day = judgement_day(judgement, row->at);

    return day != NO_INDEX && !judgement->days[day].why_not;
}

/* Whether a row could be of a place of the clause. */
static bool may_be_of(const struct judgement *judgement, const struct evidence_set_aside *row,
                      size_t place)
{
    return set_aside_kind_fits(judgement->limit, row) &&
           stand_in_fits(row, judgement->places[place].place.station, judgement->limit->parameter);
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

        if (stand_in_fits(row, read->station, read->parameter) && !is_of_a_place(judgement, read) &&
            !is_of_water(judgement, read) && time_reads(judgement, row, read))
            return true;
    }

    return false;
}

/* Whether it may have opened or shut the outlet at a time that is judged. */
static bool may_be_of_outlet(const struct judgement *judgement, size_t index)
{
    for (size_t i = 0; i < judgement->outlet_rows.count; i++) {
        const struct outlet_row *row = &judgement->outlet_rows.items[i];

        if (row->row == index && row->from < judgement->until_at && row->until > judgement->from_at)
            return true;
    }

    return false;
}

/* Whether it is known that the clause does not apply to it. */
static bool does_not_apply(const struct judgement *judgement, struct applies_rule *rule,
                           const struct evidence_set_aside *row, size_t place)
{
    int day = row->at == INSTANT_NONE ? NO_INDEX : judgement_day(judgement, row->at);

    if (day == NO_INDEX)
        return false;

    struct applies applies = applies_at(judgement->mem, rule, row->at, judgement->days[day].day);

    if (applies.answer == APPLIES_NO && !applies.doubt)
        return true;

    return str_equal(judgement->places[place].place.station, judgement->limit->station) &&
           gather_shut_at(judgement, row->at) != NULL;
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

/* Whether a single reading of those that count can break the bound, unseen in a mean or total. */
static bool one_reading_breaks(const struct limit *limit)
{
    static const bool of_all[] = {
        [STATISTIC_MEAN] = true,
        [STATISTIC_GEOMETRIC_MEAN] = true,
        [STATISTIC_SUM] = true,
        [STATISTIC_FLOW_WEIGHTED_MEAN] = true,
        [STATISTIC_HYDROGEN_ION_MEAN] = true,
        [STATISTIC_LONGEST_OUTSIDE] = false,
    };

    return limit->daily == DAILY_MINIMUM || limit->daily == DAILY_MAXIMUM ||
           (limit->daily == DAILY_EVERY && !of_all[limit->statistic]);
}

bool set_aside_leaves_open(const struct limit *limit, const struct evidence_set_aside *row)
{
    return !row->from_probe || (row->all_read && one_reading_breaks(limit));
}

static void note_numberless(struct judgement *judgement, const struct evidence_set_aside *row,
                            bool of_water)
{
    if (!set_aside_leaves_open(judgement->limit, row) || judgement->sample_without_number)
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

/* Try it at every place of the clause that it could be of. */
static unsigned own_roles(struct judgement *judgement, struct converter *converter,
                          struct applies_rule *rule, const struct evidence_set_aside *row)
{
    unsigned roles = 0;

    if (judgement->limit->daily == DAILY_TOTAL || !time_fits(judgement, row))
        return 0;
    for (size_t place = 0; place < judgement->place_count; place++)
        if (may_be_of(judgement, row, place) && !does_not_apply(judgement, rule, row, place) &&
            add_row(judgement, converter, row, (int)place))
            roles |= judgement->places[place].against ? ASIDE_AGAINST : ASIDE_OWN;

    return roles;
}

static bool may_be(const struct evidence_set_aside *row, const struct limit_other *other)
{
    return other->station && stand_in_fits(row, other->station, other->parameter);
}

/* Whether it could be of the intake beside the judged days, as far as pairs reach. */
static bool may_be_beside(const struct judgement *judgement, const struct evidence_set_aside *row)
{
    const struct limit_against *against = &judgement->limit->against;
    int64_t reach_us = ((int64_t)against->within_s + against->residence_s) * SECOND_US;
    bool by_time = against->kind != AGAINST_NONE && against->within_s > 0;

    return by_time && row->at != INSTANT_NONE && judgement_day(judgement, row->at) == NO_INDEX &&
           row->at >= judgement->from_at - reach_us && row->at <= judgement->until_at + reach_us &&
           may_be_of(judgement, row, judgement->place_count - 1);
}

/* What it could be beside a reading of the clause's places. */
static unsigned other_roles(const struct judgement *judgement, const struct limit_read_list *reads,
                            const struct evidence_set_aside *row)
{
    const struct limit_bound_by *by = &judgement->limit->bound_by;
    unsigned roles = may_be_of_outlet(judgement, number_of(judgement, row)) ? ASIDE_OUTLET : 0;

    /* A word of before that may have held, held_states.h. */
    for (size_t i = 0; by->kind == BOUND_STATE && i < judgement->count; i++)
        if (judgement->items[i].held && judgement->items[i].series == NO_INDEX &&
            judgement->items[i].reading == number_of(judgement, row))
            roles |= ASIDE_OWN;
    if (may_be_beside(judgement, row))
        roles |= ASIDE_AGAINST;
    if (!may_be_read(judgement, reads, row))
        return roles;
    if (may_be(row, &judgement->limit->applies_while.other))
        roles |= ASIDE_CONDITION;
    for (size_t i = 0; i < by->other_count; i++)
        if (may_be(row, &by->others[i]))
            roles |= ASIDE_BOUND;

    return roles;
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
        unsigned roles = own_roles(judgement, &converter, &rule, row);

        if (water_may_be(judgement, row)) {
            if (!row->has_value)
                note_numberless(judgement, row, true);
            roles |= ASIDE_WATER;
        }
        roles |= other_roles(judgement, &reads, row);
        if (roles != 0)
            LIST_ADD(judgement->mem, &judgement->asides,
                     ((struct judged_aside){.row = i, .roles = roles}));
    }
}

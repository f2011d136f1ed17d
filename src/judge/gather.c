#include "judge/gather.h"

#include <stdlib.h>

#include "base/search.h"
#include "base/str.h"
#include "judge/accepts.h"
#include "judge/applies.h"

/* The evidence's word on a day's discharge. */
static const struct discharge_day *discharge_of(const struct evidence *evidence, day_number day)
{
    size_t low = 0;
    size_t high = evidence->day_count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (evidence->days[middle].day < day)
            low = middle + 1;
        else
            high = middle;
    }

    return low < evidence->day_count && evidence->days[low].day == day ? &evidence->days[low]
                                                                       : NULL;
}

static const char *why_day_not(const struct judgement *judgement, struct judged_day *day)
{
    const struct limit *limit = judgement->limit;

    if (!day->in_force)
        return day->day < limit->in_force_from ? "before the clause came into force"
                                               : "after the clause was in force";
    if (!applies_in_season(limit, day->day))
        return "out of the clause's season";
    if (!limit->only_while_discharging || day->discharge != DISCHARGE_NONE)
        return NULL;
    day->is_without_discharge = true;

    return day->because ? arena_printf(judgement->mem, "no discharge that day: %s", day->because)
                        : "no discharge that day";
}

void gather_days(struct judgement *judgement, day_number from, day_number to, bool in_full)
{
    const struct evidence *evidence = judgement->evidence;
    const struct limit *limit = judgement->limit;
    int hour = limit->day_starts_hour;

    judgement->day_count = to < from ? 0 : (size_t)(to - from) + 1;
    judgement->days = ARENA_ARRAY(judgement->mem, struct judged_day, judgement->day_count);
    judgement->from_at = zone_day_start_at(evidence->zone, from, hour);
    judgement->until_at = judgement->from_at;

    for (size_t i = 0; i < judgement->day_count; i++) {
        struct judged_day *day = &judgement->days[i];
        const struct discharge_day *told = discharge_of(evidence, from + (day_number)i);

        day->day = from + (day_number)i;
        day->start = judgement->until_at;
        day->end = zone_day_start_at(evidence->zone, day->day + 1, hour);
        day->discharge = told ? told->state : DISCHARGE_UNKNOWN;
        day->because = told ? told->because : NULL;
        day->begun = day->start < evidence->now;
        day->over = day->end <= evidence->now;
        day->in_force =
            in_full || (day->day >= limit->in_force_from &&
                        (limit->in_force_to == DAY_NONE || day->day <= limit->in_force_to));
        day->why_not = why_day_not(judgement, day);
        day->doubt = limit->only_while_discharging && told ? told->doubt : NULL;
        judgement->until_at = day->end;
    }
}

int judgement_day(const struct judgement *judgement, instant at)
{
    size_t low = 0;
    size_t high = judgement->day_count;

    if (at < judgement->from_at || at >= judgement->until_at)
        return NO_INDEX;
    while (low + 1 < high) {
        size_t middle = (low + high) / 2;

        if (judgement->days[middle].start <= at)
            low = middle;
        else
            high = middle;
    }

    return (int)low;
}

size_t gather_first_from(const struct evidence_series *series, instant at)
{
    return SEARCH_FROM(series->readings, series->count, at, at);
}

static bool is_at(const struct limit_place *place, const struct evidence_series *series)
{
    return str_equal(series->station, place->station) &&
           (!place->position || str_equal(series->position, place->position));
}

static bool is_of(const struct limit *limit, const struct evidence_series *series)
{
    return str_equal(series->parameter, limit->parameter) &&
           (limit->kinds == 0 || (series->kind & limit->kinds) != 0);
}

int gather_place_of(const struct judgement *judgement, const struct evidence_series *series)
{
    for (size_t i = 0; i < judgement->place_count && is_of(judgement->limit, series); i++) {
        if (is_at(&judgement->places[i].place, series))
            return (int)i;
    }

    return NO_INDEX;
}

bool gather_series_shown(const struct limit *limit, const struct evidence_series *series)
{
    const struct limit_place place = {limit->station, limit->position};

    return is_of(limit, series) && is_at(&place, series);
}

bool gather_series_belongs(const struct limit *limit, const struct evidence_series *series)
{
    return gather_series_shown(limit, series) && accepts_maker(limit, series);
}

bool gather_series_at(const struct limit *limit, const struct limit_place *place,
                      const struct evidence_series *series)
{
    return is_of(limit, series) && is_at(place, series) && accepts_maker(limit, series);
}

/*
 * The outlet is shut when its newest reading says so and is not in doubt: doubt never makes a
 * sample go away. A state holds until the next one, or as long as the farm says.
 */
bool gather_is_shut(const struct evidence *evidence, instant at)
{
    if (evidence->outlet_series < 0)
        return false;

    const struct evidence_series *outlet = &evidence->series[evidence->outlet_series];
    size_t after = gather_first_from(outlet, at + 1);

    while (after > 0 && outlet->readings[after - 1].left_out)
        after--;
    if (after == 0)
        return false;

    const struct evidence_reading *state = &outlet->readings[after - 1];
    bool holds = evidence->state_holds_s == 0 ||
                 at - state->at <= (int64_t)evidence->state_holds_s * SECOND_US;

    return holds && !state->doubt && str_equal_nocase(state->unit, "shut");
}

const char gather_shut_words[] = "the outlet was shut: no sample of the discharge";

/* Where the day counts as discharging against the outlet's record, its samples may be of it. */
static bool day_disagrees(const struct judgement *judgement, instant at)
{
    int day = judgement_day(judgement, at);

    return day != NO_INDEX && judgement->days[day].discharge == DISCHARGE_DISAGREES;
}

const char *gather_shut_doubt(const struct judgement *judgement, instant at)
{
    if (!judgement->limit->only_while_discharging)
        return NULL;

    bool shut = gather_is_shut(judgement->evidence, at);

    if (shut && day_disagrees(judgement, at))
        return "the outlet is on record as shut, and the records of that day disagree";

    return outlet_rows_may_turn(&judgement->outlet_rows, at, shut) ? outlet_rows_doubt : NULL;
}

const char *gather_shut_at(const struct judgement *judgement, instant at)
{
    if (!judgement->limit->only_while_discharging || !gather_is_shut(judgement->evidence, at))
        return NULL;

    return gather_shut_doubt(judgement, at) ? NULL : gather_shut_words;
}

bool gather_is_without_discharge(const struct judgement *judgement, const struct use *use)
{
    const struct judged_day *day = &judgement->days[use->day];

    if (!use->why_not || use->series == NO_INDEX ||
        (judgement->evidence->series[use->series].kind & KIND_PROBE) != 0)
        return false;

    return use->why_not == gather_shut_words ||
           (use->why_not == day->why_not && day->is_without_discharge);
}

/* Its sample, and which portion of it; NULL: none is told. */
static const struct evidence_reading *reading_of(const struct judgement *judgement,
                                                 const struct use *use)
{
    return use->series == NO_INDEX
               ? NULL
               : &judgement->evidence->series[use->series].readings[use->reading];
}

static int order_of_samples(const struct judgement *judgement, const struct use *left,
                            const struct use *right)
{
    const struct evidence_reading *one = reading_of(judgement, left);
    const struct evidence_reading *other = reading_of(judgement, right);

    if (!one || !other)
        return (one != NULL) - (other != NULL);

    int order = str_compare_numbered(one->sample, other->sample);

    return order != 0 ? order : str_compare_numbered(one->replicate, other->replicate);
}

/*
 * By the day it belongs to and by instant; of one instant by the sample's number, then by what it
 * is, so that the order of rows makes no difference.
 */
static int order(const void *a, const void *b, void *context)
{
    const struct judgement *judgement = context;
    const struct use *left = a;
    const struct use *right = b;

    if (left->day != right->day)
        return left->day < right->day ? -1 : 1;
    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;

    int by_sample = order_of_samples(judgement, left, right);

    if (by_sample != 0)
        return by_sample;
    if (left->has_value && right->has_value)
        return amount_compare(judgement->mem, left->value, right->value);

    return (int)right->has_value - (int)left->has_value;
}

void gather_sort(struct judgement *judgement)
{
    bool sorted = true;

    for (size_t i = 1; i < judgement->count && sorted; i++)
        sorted = order(&judgement->items[i - 1], &judgement->items[i], judgement) <= 0;
    if (!sorted)
        qsort_r(judgement->items, judgement->count, sizeof(*judgement->items), order, judgement);
}

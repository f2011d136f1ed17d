#include "judge/gather.h"

#include <stdlib.h>

#include "base/str.h"
#include "judge/converter.h"

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

static const char *why_day_not(const struct judgement *judgement, const struct judged_day *day)
{
    const struct limit *limit = judgement->limit;

    if (!day->in_force)
        return day->day < limit->in_force_from ? "before the clause came into force"
                                               : "after the clause was in force";
    if (!limit->only_while_discharging || day->discharge != DISCHARGE_NONE)
        return NULL;

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
    size_t low = 0;
    size_t high = series->count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (series->readings[middle].at < at)
            low = middle + 1;
        else
            high = middle;
    }

    return low;
}

static bool method_accepted(const struct limit *limit, const char *method)
{
    if (limit->method_count == 0)
        return true;
    for (size_t i = 0; i < limit->method_count; i++)
        if (method && str_equal(limit->methods[i], method))
            return true;

    return false;
}

bool gather_series_belongs(const struct limit *limit, const struct evidence_series *series)
{
    return str_equal(series->station, limit->station) &&
           str_equal(series->parameter, limit->parameter) &&
           (!limit->position || str_equal(series->position, limit->position)) &&
           (limit->kinds == 0 || (series->kind & limit->kinds) != 0) &&
           method_accepted(limit, series->method);
}

/*
 * The outlet is shut when its newest reading says so and is not in doubt: doubt never makes a
 * sample go away. A state holds until the next one, or as long as the farm says.
 */
static bool shut_at(const struct evidence *evidence, instant at)
{
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

const char *gather_shut_at(const struct judgement *judgement, instant at, bool is_sample)
{
    const struct evidence *evidence = judgement->evidence;

    if (evidence->outlet_series < 0 || (!is_sample && !judgement->limit->only_while_discharging))
        return NULL;

    return shut_at(evidence, at) ? "the outlet was shut: no sample of the discharge" : NULL;
}

static const char *why_reading_not(const struct judgement *judgement,
                                   const struct evidence_series *series,
                                   const struct evidence_reading *reading, int day)
{
    if (reading->left_out)
        return arena_printf(judgement->mem, "left out: %s", reading->left_out);
    if (!reading->counts)
        return "a check sample or the authority's own: shown, never counted";
    if (judgement->days[day].why_not)
        return judgement->days[day].why_not;

    /* A meter or a flow is read at a shut outlet too: that is how it shows that nothing flows. */
    if (judgement->limit->daily == DAILY_TOTAL)
        return NULL;

    return gather_shut_at(judgement, reading->at,
                          reading->sample || (series->kind & (KIND_GRAB | KIND_COMPOSITE)) != 0);
}

static struct use use_of(struct judgement *judgement, struct converter *converter, size_t series,
                         size_t index)
{
    const struct evidence_series *from = &judgement->evidence->series[series];
    const struct evidence_reading *reading = &from->readings[index];
    struct use use = {
        .series = (int)series,
        .reading = index,
        .at = reading->at,
        .until = reading->until,
        .day = judgement_day(judgement, reading->at),
        .qualifier = reading->qualifier,
        .trust = reading->doubt ? TRUST_IN_DOUBT : TRUST_SOUND,
        .doubt = reading->doubt,
    };

    use.has_value = reading->qualifier != QUALIFIER_NOT_DETECTED &&
                    converter_apply(judgement->mem, converter, reading->unit, reading->reported,
                                    &use.value, &use.step);
    use.why_not = why_reading_not(judgement, from, reading, use.day);

    return use;
}

void gather_readings(struct judgement *judgement, const char *unit)
{
    const struct evidence *evidence = judgement->evidence;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];
        struct converter converter = converter_to(evidence->units, judgement->parameter, unit);

        if (!gather_series_belongs(judgement->limit, series))
            continue;
        for (size_t k = gather_first_from(series, judgement->from_at);
             k < series->count && series->readings[k].at < judgement->until_at; k++)
            LIST_ADD(judgement->mem, judgement, use_of(judgement, &converter, i, k));
    }
}

/* By instant; of one instant by what it is, so that the order of rows makes no difference. */
static int order(const void *a, const void *b, void *mem)
{
    const struct use *left = a;
    const struct use *right = b;

    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;
    if (left->has_value && right->has_value)
        return amount_compare(mem, left->value, right->value);

    return (int)right->has_value - (int)left->has_value;
}

void gather_sort(struct judgement *judgement)
{
    bool sorted = true;

    for (size_t i = 1; i < judgement->count && sorted; i++)
        sorted = order(&judgement->items[i - 1], &judgement->items[i], judgement->mem) <= 0;
    if (!sorted)
        qsort_r(judgement->items, judgement->count, sizeof(*judgement->items), order,
                judgement->mem);
}

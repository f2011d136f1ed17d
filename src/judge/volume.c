#include "judge/volume.h"

#include <stdlib.h>

#include "base/str.h"
#include "judge/flow.h"
#include "judge/gather.h"
#include "judge/meter.h"

bool volume_per_m3(struct arena *mem, const struct units *units, const char *unit,
                   const struct exact **out, struct err *err)
{
    static const char *const ways[] = {"m3", "m3/day"};
    const struct unit *to = NULL;

    if (!unit_find(units, unit, NULL, &to, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(ways); i++) {
        const struct unit *from = unit_named(units, ways[i]);

        if (from && unit_convertible(from, to))
            return unit_convert(units, mem, from, to, exact_from_int(mem, 1), out, err);
    }

    return err_set(err, ERR_INVALID, "%s is no unit of water", unit);
}

static int order(const void *a, const void *b)
{
    const struct water_reading *left = a;
    const struct water_reading *right = b;

    if (left->reading->at != right->reading->at)
        return left->reading->at < right->reading->at ? -1 : 1;

    return decimal_compare(left->reading->reported, right->reading->reported);
}

/*
 * Readings of the period with one before it and one after it, so that a difference over either
 * end is known.
 */
static void add_series(const struct judgement *judgement, const struct evidence_series *series,
                       bool with_doubt, struct water *water)
{
    const struct evidence_reading *beyond = NULL;
    bool found_before = false;

    for (size_t i = series->count; i-- > 0 && !found_before;) {
        const struct evidence_reading *reading = &series->readings[i];

        if (reading->left_out || !reading->counts || (reading->doubt && !with_doubt))
            continue;
        if (reading->at >= judgement->until_at) {
            beyond = reading; /* going backwards, the last of these is the first past the end */
            continue;
        }
        found_before = reading->at < judgement->from_at;
        LIST_ADD(judgement->mem, water, (struct water_reading){.reading = reading});
    }
    if (beyond)
        LIST_ADD(judgement->mem, water, (struct water_reading){.reading = beyond});
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

struct water volume_readings(const struct judgement *judgement, const struct limit_place *place,
                             const char *parameter, bool with_doubt)
{
    const struct evidence *evidence = judgement->evidence;
    struct water water = {.place = place,
                          .parameter = parameter,
                          .known = parameter_find(evidence->parameters, parameter)};
    bool derived = is_worked_out(judgement, &water);

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (is_water(judgement, series, &water) && (series->kind == KIND_DERIVED) == derived)
            add_series(judgement, series, with_doubt, &water);
    }
    if (water.count > 0)
        qsort(water.items, water.count, sizeof(*water.items), order);

    return water;
}

const struct day_volume *volume_of_days(const struct judgement *judgement,
                                        const struct limit_place *place, const char *parameter,
                                        bool with_doubt)
{
    struct water water = volume_readings(judgement, place, parameter, with_doubt);

    if (water.known && water.known->kind == PARAMETER_COUNTER)
        return meter_volumes(judgement, &water);

    return flow_volumes(judgement, &water);
}

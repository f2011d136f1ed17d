#include "judge/volume.h"

#include "judge/alternatives.h"
#include "judge/flow.h"
#include "judge/meter.h"
#include "judge/meter_doubt.h"
#include "judge/water_pick.h"

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

/* --- rows of no known time -------------------------------------------------------------------- */

/* The least and the most that may have flowed at any time of a day, as far as it is known. */
struct flows {
    struct amount least;
    struct amount most;
    bool known;
};

static bool is_sure(const struct water *water, size_t index)
{
    return !water->is_sure || water->is_sure[index];
}

static void widen(const struct judgement *judgement, struct amount value, struct flows *flows)
{
    if (!flows->known || amount_compare(judgement->mem, value, flows->least) < 0)
        flows->least = value;
    if (!flows->known || amount_compare(judgement->mem, value, flows->most) > 0)
        flows->most = value;
    flows->known = true;
}

/* From the last reading before the day that is sure to count, to the first after it that may reach
 * back into it. */
static struct flows flows_on(const struct judgement *judgement, const struct water *water,
                             const struct judged_day *day)
{
    bool reach_back = judgement->limit->standing_rule != STANDS_TO_NEXT;
    struct flows flows = {0};
    size_t first = 0;

    for (size_t i = 0; i < water->count && water->items[i].reading->at <= day->start; i++)
        if (is_sure(water, i))
            first = i;
    for (size_t i = first; i < water->count; i++) {
        bool is_after = water->items[i].reading->at >= day->end;

        if (is_after && !reach_back)
            break;
        if (water->items[i].known)
            widen(judgement, water->items[i].value, &flows);
        if (is_after && is_sure(water, i))
            break;
    }

    return flows;
}

/* What the row could add to a day, or take from it, in m3; 0 or more. */
static const struct exact *moved_by(const struct judgement *judgement, const struct flows *flows,
                                    const struct water_reading *row, bool highest,
                                    const struct judged_day *day)
{
    struct arena *mem = judgement->mem;
    int64_t stands_us = (int64_t)judgement->limit->reading_stands_s * SECOND_US;
    int64_t day_us = day->end - day->start;
    const struct exact *value = amount_exact(mem, row->value);
    const struct exact *per_s = highest ? exact_sub(mem, value, amount_exact(mem, flows->least))
                                        : exact_sub(mem, amount_exact(mem, flows->most), value);

    if (exact_sign(per_s) <= 0)
        return exact_from_int(mem, 0);
    /* Half-way it may stand for half a step on either side, and as long as one in all. */
    if (stands_us == 0 || 2 * stands_us > day_us)
        stands_us = day_us / 2;

    return exact_mul(mem, per_s, exact_from_ratio(mem, 2 * stands_us, SECOND_US));
}

static const struct day_volume *with_timeless(const struct judgement *judgement,
                                              const struct water *water, bool highest,
                                              const struct day_volume *volumes)
{
    struct arena *mem = judgement->mem;
    struct day_volume *out = ARENA_ARRAY(mem, struct day_volume, judgement->day_count);

    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];
        struct flows flows = flows_on(judgement, water, day);

        out[i] = volumes[i];
        for (size_t k = 0; k < water->timeless.count && out[i].m3 && flows.known; k++) {
            const struct water_reading *row = &water->timeless.items[k];

            if (!row->known)
                continue;

            const struct exact *by = moved_by(judgement, &flows, row, highest, day);

            out[i].m3 = highest ? exact_add(mem, out[i].m3, by) : exact_sub(mem, out[i].m3, by);
        }
        if (out[i].m3 && exact_sign(out[i].m3) < 0)
            out[i].m3 = exact_from_int(mem, 0);
    }

    return out;
}

const struct day_volume *volume_of_days(const struct judgement *judgement,
                                        const struct water *water, enum water_version version)
{
    bool tries = version == WATER_TRY_HIGHEST || version == WATER_TRY_LOWEST;

    if (water_is_meter(water))
        return meter_volumes(judgement, water);

    const struct day_volume *volumes = flow_volumes(judgement, water);

    return tries && water->timeless.count > 0
               ? with_timeless(judgement, water, version == WATER_TRY_HIGHEST, volumes)
               : volumes;
}

/* --- versions --------------------------------------------------------------------------------- */

static void set_version(const struct judgement *judgement, const struct water *all,
                        enum water_version version, bool highest, struct judged_place *place)
{
    struct water *water = ARENA_NEW(judgement->mem, struct water);

    *water = water_pick(judgement, all, version, highest);
    place->water[version] = water;
    for (enum water_version same = WATER_SOUND; same < version; same++) {
        if (!water_same(water, place->water[same]))
            continue;
        place->water[version] = place->water[same];
        place->volumes[version] = place->volumes[same];
        return;
    }
    place->volumes[version] = volume_of_days(judgement, water, version);
}

/* What is in doubt and no number may be anything. */
static void look_for_open(struct judgement *judgement, const struct water_reading *items,
                          size_t count)
{
    for (size_t i = 0; i < count && !judgement->water_open; i++) {
        const struct water_reading *one = &items[i];
        instant at = one->reading->at;

        if (!one->in_doubt || one->known || one->tried ||
            (at != INSTANT_NONE && (at < judgement->from_at || at >= judgement->until_at)))
            continue;
        judgement->water_open = "a reading of the meter or flow that is in doubt is no number";
        judgement->water_open_row = one->row;
    }
}

/* The flow at the instants of samples is asked for: one of no known time may have been at any. */
static void look_for_timeless(struct judgement *judgement, const struct water *all)
{
    const struct limit *limit = judgement->limit;
    bool at_samples =
        limit->daily == DAILY_FLOW_WEIGHTED_MEAN ||
        (limit->daily == DAILY_LOAD && limit->load_water == LOAD_WATER_WHILE_SAMPLING);

    if (!at_samples || all->timeless.count == 0 || judgement->water_open)
        return;
    judgement->water_open = "a reading of the flow set aside may be of any time";
    judgement->water_open_row = all->timeless.items[0].row;
}

static void find_doubtful(struct judgement *judgement, size_t index, const struct water *all)
{
    struct judged_place *place = &judgement->places[index];
    bool highest =
        alternatives_takes_highest(judgement, PASS_ALL) != alternatives_fall(judgement, index);
    bool is_meter = water_is_meter(all);
    enum water_version last = is_meter ? WATER_ALL : WATER_TRY_LOWEST;

    place->all_water = all;
    for (enum water_version version = WATER_SOUND; version <= last; version++)
        set_version(judgement, all, version, highest, place);
    look_for_open(judgement, all->items, all->count);
    look_for_open(judgement, all->timeless.items, all->timeless.count);
    if (is_meter)
        meter_doubt_find(judgement, all, place);
    else
        look_for_timeless(judgement, all);
    for (enum water_version version = WATER_ALL; version <= WATER_LOWEST; version++)
        judgement->water_in_doubt = judgement->water_in_doubt ||
                                    !water_same(place->water[version], place->water[WATER_SOUND]);
    judgement->water_tried = judgement->water_tried ||
                             place->volumes[WATER_TRY_HIGHEST] != place->volumes[WATER_HIGHEST] ||
                             place->volumes[WATER_TRY_LOWEST] != place->volumes[WATER_LOWEST];
}

void volume_find(struct judgement *judgement)
{
    judgement->water_open_row = SIZE_MAX;
    for (size_t i = 0; i < judgement->place_count; i++) {
        struct judged_place *place = &judgement->places[i];
        const struct limit_flow source = water_source(judgement, place);
        struct limit_place *at = ARENA_NEW(judgement->mem, struct limit_place);

        if (!source.station || !source.parameter)
            continue;
        *at = judgement->limit->daily == DAILY_TOTAL ? place->place
                                                     : (struct limit_place){source.station, NULL};

        struct water *all = ARENA_NEW(judgement->mem, struct water);

        *all = water_gather(judgement, at, source.parameter);
        if (water_is_in_doubt(all)) {
            find_doubtful(judgement, i, all);
            continue;
        }

        const struct day_volume *volumes = volume_of_days(judgement, all, WATER_SOUND);

        for (enum water_version version = WATER_SOUND; version < WATER_VERSIONS; version++) {
            place->water[version] = all;
            place->volumes[version] = volumes;
        }
    }
}

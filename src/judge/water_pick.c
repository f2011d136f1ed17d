#include "judge/water_pick.h"

/* Whether a version looks at a reading at all. */
static bool is_of(const struct water_reading *one, enum water_version version)
{
    if (version == WATER_SOUND)
        return !one->in_doubt;
    if (version == WATER_ALL)
        return !one->tried && !one->farther;

    return !one->in_doubt || (one->known && (!one->tried || version == WATER_TRY_HIGHEST ||
                                             version == WATER_TRY_LOWEST));
}

/* A choice while it is made. */
struct picking {
    const struct judgement *judgement;
    bool highest;
    const bool *is_sure; /* by what is in `candidates`: one of that instant is there */
    const struct water_list *candidates;
};

/* Above 0: `a` is nearer to the side that is looked for. */
static int by_side(const struct picking *picking, struct amount a, struct amount b)
{
    int order = amount_compare(picking->judgement->mem, a, b);

    return picking->highest ? order : -order;
}

static bool is_better(const struct picking *picking, const struct water_reading *a,
                      const struct water_reading *b)
{
    if (!a->known || !b->known)
        return a->known && b->in_doubt;

    return by_side(picking, a->value, b->value) > 0;
}

/* Of each instant the one that counts, and whether one of them is sure to be there. */
static void settle_instants(const struct picking *picking, const struct water *all,
                            enum water_version version, struct water_list *out, bool *is_sure)
{
    for (size_t first = 0, after; first < all->count; first = after) {
        const struct water_reading *best = NULL;
        bool any_doubt = false;
        bool any_sound = false;

        for (after = first;
             after < all->count && all->items[after].reading->at == all->items[first].reading->at;
             after++) {
            const struct water_reading *one = &all->items[after];

            if (!is_of(one, version))
                continue;
            any_doubt = any_doubt || one->in_doubt;
            any_sound = any_sound || !one->in_doubt;
            best = !best || is_better(picking, one, best) ? one : best;
        }
        for (size_t i = first; i < after; i++) {
            if (!is_of(&all->items[i], version) || (any_doubt && &all->items[i] != best))
                continue;
            is_sure[out->count] = any_sound;
            LIST_ADD(picking->judgement->mem, out, all->items[i]);
        }
    }
}

/* The next candidate that is sure to be there; NULL: there is none. */
static const struct water_reading *next_sure(const struct picking *picking, size_t index)
{
    for (size_t i = index + 1; i < picking->candidates->count; i++)
        if (picking->is_sure[i])
            return &picking->candidates->items[i];

    return NULL;
}

/* Whether a reading that stands to its own day's end only is of an earlier day. */
static bool has_ended(const struct picking *picking, const struct water_reading *last, instant at)
{
    return judgement_day(picking->judgement, last->reading->at) !=
           judgement_day(picking->judgement, at);
}

/* The first that may count: what comes after it would stand backwards in its place. */
static bool begins(const struct picking *picking, size_t index)
{
    const struct water_reading *one = &picking->candidates->items[index];
    const struct water_reading *sure = next_sure(picking, index);

    return !sure || !sure->known || has_ended(picking, sure, one->reading->at) ||
           by_side(picking, one->value, sure->value) > 0;
}

/* Whether one in doubt counts after the last that did: it adds water, or is all that is known. */
static bool goes_on(const struct picking *picking, const struct water_reading *last,
                    const struct water_reading *one)
{
    return !last->known || has_ended(picking, last, one->reading->at) ||
           by_side(picking, one->value, last->value) > 0;
}

/* Where each reading stands within its own day. */
static void pick_of_days(const struct picking *picking, struct water *out)
{
    const struct water_list *list = picking->candidates;

    for (size_t i = 0; i < list->count; i++) {
        const struct water_reading *one = &list->items[i];
        const struct water_reading *last = out->count > 0 ? &out->items[out->count - 1] : NULL;

        if (picking->is_sure[i] || (last ? goes_on(picking, last, one) : begins(picking, i)))
            LIST_ADD(picking->judgement->mem, out, *one);
    }
}

static bool all_sure(const bool *is_sure, size_t count)
{
    bool all = true;

    for (size_t i = 0; i < count; i++)
        all = all && is_sure[i];

    return all;
}

struct water water_pick(const struct judgement *judgement, const struct water *all,
                        enum water_version version, bool highest)
{
    const struct limit *limit = judgement->limit;
    bool tries = version == WATER_TRY_HIGHEST || version == WATER_TRY_LOWEST;
    bool runs_on = limit->reading_stands_s > 0 || limit->standing_rule != STANDS_TO_NEXT;
    struct water out = {.place = all->place, .parameter = all->parameter, .known = all->known};
    struct water_list candidates = {0};
    bool *is_sure = ARENA_ARRAY(judgement->mem, bool, all->count);
    struct picking picking = {
        .judgement = judgement,
        .highest = version == WATER_ALL ? highest
                                        : version == WATER_HIGHEST || version == WATER_TRY_HIGHEST,
        .is_sure = is_sure,
        .candidates = &candidates,
    };

    settle_instants(&picking, all, version, &candidates, is_sure);
    if (version != WATER_SOUND && version != WATER_ALL && !runs_on) {
        pick_of_days(&picking, &out);
    } else {
        out.items = candidates.items;
        out.count = candidates.count;
        out.capacity = candidates.capacity;
    }
    if (version != WATER_SOUND && version != WATER_ALL && runs_on &&
        !all_sure(is_sure, out.count)) {
        out.is_sure = is_sure;
        out.used = ARENA_ARRAY(judgement->mem, bool, out.count);
        out.highest = picking.highest;
    }
    if (tries)
        out.timeless = all->timeless;

    return out;
}

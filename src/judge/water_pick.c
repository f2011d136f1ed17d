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
    bool runs_on; /* over midnight, to the next reading */
    bool lines;   /* what lies between two readings goes by both */
    int64_t longest_us;
    struct water *out;
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

static const struct water_reading *last_of(const struct water *water)
{
    return water->count > 0 ? &water->items[water->count - 1] : NULL;
}

/* The next candidate that is sure to be there; NULL: there is none. */
static const struct water_reading *next_sure(const struct picking *picking, size_t index)
{
    for (size_t i = index + 1; i < picking->candidates->count; i++)
        if (picking->is_sure[i])
            return &picking->candidates->items[i];

    return NULL;
}

static bool is_too_long(const struct picking *picking, instant from, instant until)
{
    return picking->longest_us > 0 && until - from > picking->longest_us;
}

/* Whether a reading that stands to its own day's end only is of an earlier day. */
static bool has_ended(const struct picking *picking, const struct water_reading *last, instant at)
{
    return !picking->runs_on && judgement_day(picking->judgement, last->reading->at) !=
                                    judgement_day(picking->judgement, at);
}

/* Whether the flow at a reading in doubt would not be known without it. */
static bool is_needed(const struct picking *picking, size_t index, const struct water_reading *last)
{
    const struct water_list *list = picking->candidates;
    instant next =
        index + 1 < list->count ? list->items[index + 1].reading->at : picking->judgement->until_at;

    return !last->known || has_ended(picking, last, list->items[index].reading->at) ||
           is_too_long(picking, last->reading->until, next);
}

/* The first that may count: what comes after it would stand backwards in its place. */
static bool begins(const struct picking *picking, size_t index)
{
    const struct water_reading *one = &picking->candidates->items[index];
    const struct water_reading *sure = next_sure(picking, index);

    return !sure || !sure->known || has_ended(picking, sure, one->reading->at) ||
           is_too_long(picking, picking->judgement->from_at, sure->reading->at) ||
           by_side(picking, one->value, sure->value) > 0;
}

/* What a straight line between two readings is at an instant. */
static struct amount between(const struct picking *picking, const struct water_reading *from,
                             const struct water_reading *until, instant at)
{
    struct arena *mem = picking->judgement->mem;
    const struct exact *share =
        exact_from_ratio(mem, at - from->reading->at, until->reading->at - from->reading->at);
    const struct exact *change =
        exact_sub(mem, amount_exact(mem, until->value), amount_exact(mem, from->value));

    return amount_add(mem, from->value, amount_from_exact(exact_mul(mem, change, share)));
}

/* Whether the last one taken, which is in doubt, adds nothing once `next` follows it. */
static bool is_idle(const struct picking *picking, const struct water_reading *next,
                    const bool *sure)
{
    const struct water *out = picking->out;

    if (out->count < 2 || sure[out->count - 1])
        return false;

    const struct water_reading *before = &out->items[out->count - 2];
    const struct water_reading *last = &out->items[out->count - 1];

    if (!before->known || !next->known || has_ended(picking, before, next->reading->at) ||
        is_too_long(picking, before->reading->until, next->reading->at))
        return false;

    struct amount without = between(picking, before, next, last->reading->at);

    return by_side(picking, last->value, without) <= 0;
}

static void push(const struct picking *picking, size_t index, bool *sure)
{
    const struct water_reading *one = &picking->candidates->items[index];

    while (picking->lines && is_idle(picking, one, sure))
        picking->out->count--;
    LIST_ADD(picking->judgement->mem, picking->out, *one);
    sure[picking->out->count - 1] = picking->is_sure[index];
}

static void pick(const struct picking *picking)
{
    const struct water_list *list = picking->candidates;
    bool *sure = ARENA_ARRAY(picking->judgement->mem, bool, list->count);

    for (size_t i = 0; i < list->count; i++) {
        const struct water_reading *last = last_of(picking->out);

        if (picking->is_sure[i] || (last ? is_needed(picking, i, last) : begins(picking, i)) ||
            (last && (picking->lines || by_side(picking, list->items[i].value, last->value) > 0)))
            push(picking, i, sure);
    }
}

struct water water_pick(const struct judgement *judgement, const struct water *all,
                        enum water_version version, bool highest)
{
    const struct limit *limit = judgement->limit;
    bool tries = version == WATER_TRY_HIGHEST || version == WATER_TRY_LOWEST;
    struct water out = {.place = all->place, .parameter = all->parameter, .known = all->known};
    struct water_list candidates = {0};
    bool *is_sure = ARENA_ARRAY(judgement->mem, bool, all->count);
    struct picking picking = {
        .judgement = judgement,
        .highest = version == WATER_ALL ? highest
                                        : version == WATER_HIGHEST || version == WATER_TRY_HIGHEST,
        .runs_on = limit->reading_stands_s > 0 || limit->standing_rule != STANDS_TO_NEXT,
        .lines = limit->standing_rule != STANDS_TO_NEXT,
        .longest_us = (int64_t)limit->reading_stands_s * SECOND_US,
        .out = &out,
        .is_sure = is_sure,
        .candidates = &candidates,
    };

    settle_instants(&picking, all, version, &candidates, is_sure);
    if (version == WATER_SOUND || version == WATER_ALL) {
        out.items = candidates.items;
        out.count = candidates.count;
        out.capacity = candidates.capacity;
    } else {
        pick(&picking);
    }
    if (tries)
        out.timeless = all->timeless;

    return out;
}

#include "judge/meter_doubt.h"

#include "judge/meter.h"
#include "judge/period.h"

/* One choice of the readings in doubt. */
struct trial {
    struct water water;
    const struct day_volume *volumes;
    bool tried; /* it takes one whose unit can't be read */
};

/* Readings in doubt that are tried as one: items [first, after) of all. */
struct part {
    size_t first;
    size_t after;
};

struct trials {
    struct judgement *judgement;
    const struct water *all;
    struct judged_place *place;
    struct trial *items;
    size_t count;
    size_t capacity;
    struct part *parts;
    size_t part_count;
    size_t part_capacity;
};

static bool in_part(const struct part *part, size_t index)
{
    return index >= part->first && index < part->after;
}

/* Whether a reading in doubt of the part is of that instant. */
static bool stands_in_part(const struct trials *trials, const struct part *part, instant at)
{
    for (size_t i = part->first; i < part->after; i++)
        if (trials->all->items[i].in_doubt && trials->all->items[i].reading->at == at)
            return true;

    return false;
}

static void add_trial(struct trials *trials, struct water *water, bool tried)
{
    struct trial trial = {.water = *water, .tried = tried};

    trial.volumes = meter_volumes(trials->judgement, &trial.water);
    LIST_ADD(trials->judgement->mem, trials, trial);
}

static struct water empty_of(const struct trials *trials)
{
    return (struct water){.place = trials->all->place,
                          .parameter = trials->all->parameter,
                          .known = trials->all->known};
}

/* What is sound with the part's readings, which stand in the place of one of their instant. */
static void try_alone(struct trials *trials, const struct part *part)
{
    struct water water = empty_of(trials);
    bool tried = false;

    for (size_t i = 0; i < trials->all->count; i++) {
        const struct water_reading *one = &trials->all->items[i];
        bool taken =
            one->in_doubt ? in_part(part, i) : !stands_in_part(trials, part, one->reading->at);

        if (!taken)
            continue;
        tried = tried || one->tried;
        LIST_ADD(trials->judgement->mem, &water, *one);
    }
    add_trial(trials, &water, tried);
}

/* All but the part's, and but those without a readable unit. */
static void try_without(struct trials *trials, const struct part *part)
{
    struct water water = empty_of(trials);

    for (size_t i = 0; i < trials->all->count; i++) {
        const struct water_reading *one = &trials->all->items[i];

        if (!one->in_doubt || (!one->tried && !in_part(part, i)))
            LIST_ADD(trials->judgement->mem, &water, *one);
    }
    add_trial(trials, &water, false);
}

static size_t count_doubts(const struct water *all)
{
    size_t count = 0;

    for (size_t i = 0; i < all->count; i++)
        count += all->items[i].in_doubt;

    return count;
}

/* Each by itself, or of very many those that follow each other. */
static void find_parts(struct trials *trials)
{
    const struct water *all = trials->all;
    bool each = count_doubts(all) <= METER_TRIED_MOST;

    for (size_t i = 0; i < all->count; i++) {
        struct part part = {i, i + 1};

        if (!all->items[i].in_doubt)
            continue;
        while (!each && part.after < all->count && all->items[part.after].in_doubt &&
               all->items[part.after].tried == all->items[i].tried)
            part.after++;
        i = part.after - 1;
        if (trials->part_count == trials->part_capacity)
            trials->parts = arena_grow(trials->judgement->mem, trials->parts, trials->part_count,
                                       &trials->part_capacity, sizeof(part));
        trials->parts[trials->part_count++] = part;
    }
}

static void set_open(struct judgement *judgement, const char *why, size_t row)
{
    if (judgement->water_open)
        return;
    judgement->water_open = why;
    judgement->water_open_row = row;
}

/* The first row set aside among the trial's readings. */
static size_t row_of(const struct trial *trial)
{
    for (size_t i = 0; i < trial->water.count; i++)
        if (trial->water.items[i].row != SIZE_MAX)
            return trial->water.items[i].row;

    return SIZE_MAX;
}

/* Whether one figure is made of all the water, each cubic metre alike. */
static bool is_of_the_sum(const struct limit *limit)
{
    if (!period_is_span(limit))
        return false;
    if (limit->daily == DAILY_LOAD)
        return limit->load_water == LOAD_MEAN_TIMES_VOLUME;

    return limit->daily == DAILY_TOTAL &&
           (limit->statistic == STATISTIC_SUM || limit->statistic == STATISTIC_MEAN);
}

/* Which days are known: of a sum also those whose water is known together. */
static bool *known_days(const struct judgement *judgement, const struct day_volume *volumes)
{
    bool *known = ARENA_ARRAY(judgement->mem, bool, judgement->day_count);
    size_t together_to = 0;

    for (size_t i = 0; i < judgement->day_count; i++) {
        if (volumes[i].together_days > 0 && is_of_the_sum(judgement->limit))
            together_to = i + volumes[i].together_days;
        known[i] = volumes[i].m3 || i < together_to;
    }

    return known;
}

/* Days that are known without what is in doubt, and with it the meter fell. */
static void look_for_falls(struct trials *trials, const struct trial *trial)
{
    struct judgement *judgement = trials->judgement;
    const bool *sound = known_days(judgement, trials->place->volumes[WATER_SOUND]);
    const bool *with = known_days(judgement, trial->volumes);

    for (size_t i = judgement->first_asked; i < judgement->after_asked; i++)
        if (!judgement->days[i].why_not && sound[i] && !with[i] && trial->volumes[i].misread)
            set_open(judgement,
                     arena_printf(judgement->mem, "with a reading in doubt %s on %s",
                                  trial->volumes[i].note,
                                  day_words(judgement->mem, judgement->days[i].day)),
                     row_of(trial));
}

/* Whether each day is held against the bound by itself. */
static bool is_of_each_day(const struct limit *limit)
{
    return limit->daily != DAILY_FLOW_WEIGHTED_MEAN && limit->load_water == LOAD_WATER_OF_DAY &&
           (limit->statistic == STATISTIC_VALUE || limit->statistic == STATISTIC_MAXIMUM ||
            limit->statistic == STATISTIC_MINIMUM);
}

static const struct exact *sum_of(const struct judgement *judgement,
                                  const struct day_volume *volumes)
{
    const struct exact *sum = exact_from_int(judgement->mem, 0);

    for (size_t i = judgement->first_asked; i < judgement->after_asked; i++) {
        if (volumes[i].together_days > 0) {
            sum = exact_add(judgement->mem, sum, volumes[i].together_m3);
            i += volumes[i].together_days - 1;
        } else if (volumes[i].m3) {
            sum = exact_add(judgement->mem, sum, volumes[i].m3);
        }
    }

    return sum;
}

/* Above 0: `a` is nearer to the side that is looked for. */
static int by_side(const struct exact *a, const struct exact *b, bool highest)
{
    int order = exact_compare(a, b);

    return highest ? order : -order;
}

/* The trial with the most water, or the least. */
static void take_one(struct trials *trials, enum water_version version, bool highest, bool tries)
{
    const struct trial *best = &trials->items[0];

    for (size_t i = 1; i < trials->count; i++) {
        const struct trial *trial = &trials->items[i];

        if ((!trial->tried || tries) &&
            by_side(sum_of(trials->judgement, trial->volumes),
                    sum_of(trials->judgement, best->volumes), highest) > 0)
            best = trial;
    }

    struct judged_place *place = trials->place;
    struct water *water = ARENA_NEW(trials->judgement->mem, struct water);

    *water = best->water;
    place->water[version] = water;
    place->volumes[version] = best->volumes;
}

/* Of each day the trial with the most water of it, or the least. */
static void take_days(struct trials *trials, enum water_version version, bool highest, bool tries)
{
    const struct judgement *judgement = trials->judgement;
    struct judged_place *place = trials->place;
    struct day_volume *volumes =
        ARENA_ARRAY(judgement->mem, struct day_volume, judgement->day_count);
    struct water *water = ARENA_NEW(judgement->mem, struct water);
    bool *used = ARENA_ARRAY(judgement->mem, bool, trials->count);

    for (size_t day = 0; day < judgement->day_count; day++) {
        volumes[day] = trials->items[0].volumes[day];
        for (size_t i = 1; i < trials->count; i++) {
            const struct day_volume *one = &trials->items[i].volumes[day];

            if ((trials->items[i].tried && !tries) || !one->m3 || volumes[day].together_days > 0 ||
                (volumes[day].m3 && by_side(one->m3, volumes[day].m3, highest) <= 0))
                continue;
            volumes[day] = *one;
            used[i] = true;
        }
    }
    *water = *place->water[WATER_SOUND];
    water->items = NULL;
    water->count = water->capacity = 0;
    for (size_t k = 0; k < trials->all->count; k++) {
        const struct water_reading *one = &trials->all->items[k];
        bool taken = !one->in_doubt;

        for (size_t i = 1; i < trials->count && !taken; i++)
            for (size_t j = 0; used[i] && j < trials->items[i].water.count && !taken; j++)
                taken = trials->items[i].water.items[j].reading == one->reading;
        if (taken)
            LIST_ADD(judgement->mem, water, *one);
    }
    place->water[version] = water;
    place->volumes[version] = volumes;
}

/* A count without a time that may have been one of this meter. */
static void look_at_timeless(struct trials *trials)
{
    const struct water *sound = trials->place->water[WATER_SOUND];
    const struct water_list *list = &trials->all->timeless;
    struct judgement *judgement = trials->judgement;

    for (size_t i = 0; i < list->count && sound->count > 0; i++) {
        const struct water_reading *one = &list->items[i];

        if (one->known && sound->items[0].known && sound->items[sound->count - 1].known &&
            amount_compare(judgement->mem, one->value, sound->items[0].value) >= 0 &&
            amount_compare(judgement->mem, one->value, sound->items[sound->count - 1].value) <= 0)
            set_open(judgement, "a reading of the meter set aside may be of any time", one->row);
    }
}

void meter_doubt_find(struct judgement *judgement, const struct water *all,
                      struct judged_place *place)
{
    const struct limit *limit = judgement->limit;
    struct trials trials = {.judgement = judgement, .all = all, .place = place};

    LIST_ADD(judgement->mem, &trials,
             ((struct trial){*place->water[WATER_SOUND], place->volumes[WATER_SOUND], false}));
    LIST_ADD(judgement->mem, &trials,
             ((struct trial){*place->water[WATER_ALL], place->volumes[WATER_ALL], false}));
    find_parts(&trials);
    if (trials.part_count > METER_TRIED_MOST)
        set_open(judgement, "too many readings of the meter are in doubt to try each", SIZE_MAX);
    for (size_t i = 0; i < trials.part_count && i < METER_TRIED_MOST; i++) {
        try_alone(&trials, &trials.parts[i]);
        if (!all->items[trials.parts[i].first].tried && trials.part_count > 2)
            try_without(&trials, &trials.parts[i]);
    }
    for (size_t i = 1; i < trials.count; i++)
        look_for_falls(&trials, &trials.items[i]);
    if (!is_of_the_sum(limit))
        look_at_timeless(&trials);
    for (int highest = 0; highest <= 1; highest++) {
        enum water_version plain = highest ? WATER_HIGHEST : WATER_LOWEST;
        enum water_version tries = highest ? WATER_TRY_HIGHEST : WATER_TRY_LOWEST;

        (is_of_each_day(limit) ? take_days : take_one)(&trials, plain, highest, false);
        (is_of_the_sum(limit) ? take_one : take_days)(&trials, tries, highest, true);
    }
}

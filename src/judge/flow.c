#include "judge/flow.h"

#include "judge/converter.h"
#include "judge/flow_choice.h"

/* A flow held this long until the next is noted on its day. */
enum { HELD_NOTED_H = 2 };

/* Microseconds as an exact number of seconds. */
static struct amount seconds(int64_t us)
{
    return amount_from_decimal((struct decimal){.coefficient = us, .scale = 6});
}

/* How long reading `i` stands inside the day. */
static int64_t stands_us(const struct water *water, size_t i, const struct judged_day *day)
{
    const struct evidence_reading *reading = water->items[i].reading;
    instant next = i + 1 < water->count ? water->items[i + 1].reading->at : day->end;

    if (reading->until > reading->at)
        return reading->until - reading->at;

    return (next < day->end ? next : day->end) - reading->at;
}

/* Flows in m3/s, each with the time it stands for. */
struct mean {
    struct amount *products;
    struct amount *values;
    size_t count;
    int64_t total_us;
};

static const struct exact *mean_of(struct arena *mem, const struct mean *mean)
{
    if (mean->total_us == 0)
        return exact_div(mem, amount_sum(mem, mean->values, mean->count),
                         exact_from_int(mem, (int64_t)mean->count));

    return exact_div(mem, amount_sum(mem, mean->products, mean->count),
                     amount_exact(mem, seconds(mean->total_us)));
}

/* A clause that does not say how long a reading stands lets each stand to the next: said. */
static const char *held_note(const struct judgement *judgement, const struct water *water,
                             size_t first, size_t after, const struct judged_day *day)
{
    int64_t longest = 0;

    for (size_t i = first; i < after; i++) {
        int64_t stands = stands_us(water, i, day);

        longest = stands > longest ? stands : longest;
    }
    if (longest < HELD_NOTED_H * HOUR_US)
        return NULL;

    return arena_printf(judgement->mem, "a flow was held for %d hours until the next",
                        (int)(longest / HOUR_US));
}

static const char *known_words(const struct judgement *judgement, int64_t day_us, int64_t gap_us)
{
    return arena_printf(judgement->mem, "flow known for %d percent of the day",
                        (int)((day_us - gap_us) * 100 / day_us));
}

/* The day's volume from readings [first, after). */
static struct day_volume volume_of(const struct judgement *judgement, const struct water *water,
                                   struct converter *converter, const struct judged_day *day,
                                   size_t first, size_t after)
{
    struct arena *mem = judgement->mem;
    struct mean mean = {.products = ARENA_ARRAY(mem, struct amount, after - first),
                        .values = ARENA_ARRAY(mem, struct amount, after - first)};

    for (size_t i = first; i < after; i++) {
        const struct evidence_reading *reading = water->items[i].reading;
        int64_t stands = stands_us(water, i, day);
        struct amount *value = &mean.values[mean.count];

        if (reading->qualifier != QUALIFIER_NONE && reading->qualifier != QUALIFIER_LESS)
            return (struct day_volume){.note = "a flow was not read as a number"};
        if (!converter_apply(mem, converter, reading->unit, reading->reported, value, NULL))
            return (struct day_volume){.note = "the unit of the flow can't be read"};
        mean.products[mean.count++] = amount_multiply(mem, *value, seconds(stands));
        mean.total_us += stands;
    }
    if (mean.count == 0)
        return (struct day_volume){.note = "no flow known"};

    return (struct day_volume){.m3 = exact_mul(mem, mean_of(mem, &mean),
                                               amount_exact(mem, seconds(day->end - day->start))),
                               .note = held_note(judgement, water, first, after, day)};
}

/* By the curve that the clause's rule draws, which runs on over midnight. */
static struct day_volume volume_by_curve(const struct judgement *judgement,
                                         const struct flow_curve *curve,
                                         const struct judged_day *day)
{
    struct flow_part part = flow_choice_volume(judgement->mem, curve, day->start, day->end);
    int64_t day_us = day->end - day->start;

    if (part.gap_us == day_us)
        return (struct day_volume){.note = "no flow known"};
    if (part.gap_us > 0)
        return (struct day_volume){.note = known_words(judgement, day_us, part.gap_us)};

    return (struct day_volume){.m3 = amount_exact(judgement->mem, part.m3)};
}

const struct day_volume *flow_volumes(const struct judgement *judgement, const struct water *water)
{
    struct day_volume *volumes =
        ARENA_ARRAY(judgement->mem, struct day_volume, judgement->day_count);
    struct converter converter = converter_to(judgement->evidence->units, water->known, "m3/s");
    struct flow_curve curve = {0};
    size_t at = 0;

    if (judgement->limit->reading_stands_s > 0 || judgement->limit->standing_rule != STANDS_TO_NEXT)
        curve = flow_curve_of(judgement, water);
    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (curve.points) {
            volumes[i] = volume_by_curve(judgement, &curve, day);
            continue;
        }

        while (at < water->count && water->items[at].reading->at < day->start)
            at++;

        size_t first = at;

        while (at < water->count && water->items[at].reading->at < day->end)
            at++;
        volumes[i] = volume_of(judgement, water, &converter, day, first, at);
    }

    return volumes;
}

#include "judge/load_steps.h"

#include "judge/volume.h"

static const struct exact *shown(struct arena *mem, const struct figure *figure)
{
    struct amount number;

    return figure && figure_shown(figure, &number) ? amount_exact(mem, number) : NULL;
}

const struct verdict_loads *load_steps_of(const struct judgement *judgement,
                                          const struct load_step *step)
{
    if (judgement->in_brief)
        return NULL;

    struct verdict_load *item = ARENA_NEW(judgement->mem, struct verdict_load);
    struct verdict_loads *one = ARENA_NEW(judgement->mem, struct verdict_loads);

    *item = (struct verdict_load){
        .place = step->place,
        .water_used = step->water_used,
        .at = step->at,
        .concentration = shown(judgement->mem, step->concentration),
        .qualifier = step->concentration->qualifier,
        .water = load_steps_water(judgement, step->m3),
        .flow = step->flow,
        .load = shown(judgement->mem, step->load),
    };
    *one = (struct verdict_loads){item, 1};

    return one;
}

const struct verdict_loads *load_steps_join(const struct judgement *judgement,
                                            const struct verdict_loads *first,
                                            const struct verdict_loads *then)
{
    if (!first || !then)
        return first ? first : then;

    struct verdict_load *items =
        ARENA_ARRAY(judgement->mem, struct verdict_load, first->count + then->count);
    struct verdict_loads *both = ARENA_NEW(judgement->mem, struct verdict_loads);

    for (size_t i = 0; i < first->count + then->count; i++)
        items[i] = i < first->count ? first->items[i] : then->items[i - first->count];
    *both = (struct verdict_loads){items, first->count + then->count};

    return both;
}

const struct verdict_loads *load_steps_of_all(const struct judgement *judgement,
                                              const struct figure *figures, size_t count)
{
    size_t total = 0;

    for (size_t i = 0; i < count; i++)
        total += figures[i].loads ? figures[i].loads->count : 0;
    if (total == 0)
        return NULL;

    struct verdict_load *items = ARENA_ARRAY(judgement->mem, struct verdict_load, total);
    struct verdict_loads *all = ARENA_NEW(judgement->mem, struct verdict_loads);
    size_t filled = 0;

    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; figures[i].loads && k < figures[i].loads->count; k++)
            items[filled++] = figures[i].loads->items[k];
    *all = (struct verdict_loads){items, total};

    return all;
}

const struct evidence_reading *load_steps_flow(const struct judgement *judgement,
                                               const struct water *water, instant from,
                                               instant until)
{
    size_t after = 0;

    if (judgement->limit->standing_rule != STANDS_TO_NEXT || judgement->in_brief)
        return NULL;
    while (after < water->count && water->items[after].reading->at <= from)
        after++;
    /* Of a span: all of it before the next reading. */
    if (after == 0 || (after < water->count && until > water->items[after].reading->at))
        return NULL;

    return water->items[after - 1].tried ? NULL : water->items[after - 1].reading;
}

const struct exact *load_steps_water(const struct judgement *judgement, const struct exact *m3)
{
    const struct exact *per_m3 = NULL;
    struct err ignored = ERR_INIT;

    if (!m3 || !judgement->limit->load_flow_unit ||
        !volume_per_m3(judgement->mem, judgement->evidence->units, judgement->limit->load_flow_unit,
                       &per_m3, &ignored))
        return m3;

    return exact_mul(judgement->mem, m3, per_m3);
}

const struct exact *load_steps_factor(const struct judgement *judgement)
{
    const struct exact *of_1 = exact_from_int(judgement->mem, 1);

    if (judgement->limit->daily != DAILY_LOAD || !judgement->load_factor)
        return NULL;

    return exact_div(judgement->mem, judgement->load_factor, load_steps_water(judgement, of_1));
}

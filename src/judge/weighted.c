#include "judge/weighted.h"

#include "judge/combine.h"

/* The figure's number at the end that is looked for. */
static bool number_of(const struct figure *figure, bool highest, struct amount *out)
{
    const struct end *end = highest ? &figure->range.high : &figure->range.low;

    if (end->known)
        *out = end->at;

    return end->known || figure_shown(figure, out);
}

/* Weigh anew by the mean so far; whether a weight changed. */
static bool weigh(const struct judgement *judgement, const struct figure *figures,
                  const struct weights *weights, size_t count, bool highest, struct amount mean,
                  struct amount *out)
{
    bool changed = false;

    for (size_t i = 0; i < count; i++) {
        struct amount number;

        if (!number_of(&figures[i], highest, &number))
            continue;

        bool above = amount_compare(judgement->mem, number, mean) > 0;
        struct amount weight = above == highest ? weights->most[i] : weights->least[i];

        changed = changed || amount_compare(judgement->mem, weight, out[i]) != 0;
        out[i] = weight;
    }

    return changed;
}

struct figure weighted_figure(const struct judgement *judgement, const struct figure *figures,
                              const struct weights *weights, size_t count, bool highest)
{
    struct figure figure = combine_weighted(judgement, figures, weights->most, count);
    struct amount *used;
    struct amount mean;

    if (weights->least == weights->most)
        return figure;
    used = ARENA_ARRAY(judgement->mem, struct amount, count);
    for (size_t i = 0; i < count; i++)
        used[i] = weights->most[i];
    /* Each round brings the mean nearer to its end, so that it comes to one. */
    for (size_t round = 0; round <= count && number_of(&figure, highest, &mean) &&
                           weigh(judgement, figures, weights, count, highest, mean, used);
         round++)
        figure = combine_weighted(judgement, figures, used, count);

    return figure;
}

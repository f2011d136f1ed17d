#include "judge/counted_figure.h"

enum { PERCENT = 100 };

static struct end end_of(const struct judgement *judgement, size_t beyond, size_t count)
{
    struct arena *mem = judgement->mem;
    const struct exact *value =
        judgement->limit->statistic == STATISTIC_SHARE_BEYOND
            ? exact_from_ratio(mem, (int64_t)beyond * PERCENT, (int64_t)count)
            : exact_from_int(mem, (int64_t)beyond);

    return (struct end){.known = true, .at = amount_from_exact(value)};
}

static const char *open_words(const struct judgement *judgement, size_t sure, size_t maybe)
{
    return arena_printf(judgement->mem,
                        "%zu %s be on either side of what is counted: %zu to %zu are beyond it",
                        maybe, maybe == 1 ? "result may" : "results may", sure, sure + maybe);
}

struct figure counted_figure(const struct judgement *judgement, const struct figure *figures,
                             size_t count)
{
    struct bound beyond = figure_beyond(judgement->limit);
    struct figure out = {
        .day = NO_INDEX, .use = NO_INDEX, .at = INSTANT_NONE, .qualifier = QUALIFIER_NONE};
    size_t sure = 0;
    size_t maybe = 0;

    for (size_t i = 0; i < count; i++) {
        enum fit fit = bound_fit(judgement->mem, &beyond, &figures[i].range);

        sure += fit == FIT_ABOVE || fit == FIT_BELOW;
        maybe += fit == FIT_UNKNOWN || (fit == FIT_WITHIN && figures[i].blocked);
        out.less_thans += figures[i].less_thans;
    }
    out.range = (struct range){.low = end_of(judgement, sure, count),
                               .high = end_of(judgement, sure + maybe, count)};
    if (maybe > 0 && bound_fit(judgement->mem, &judgement->bound, &out.range) == FIT_UNKNOWN)
        out.blocked = open_words(judgement, sure, maybe);

    return out;
}

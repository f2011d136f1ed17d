#include "judge/no_result.h"

#include "judge/period.h"

const char *no_result_words(const struct judgement *judgement, const struct window *window)
{
    const char *when =
        period_is_span(judgement->limit) ? " in the period" : window_words(judgement, window);
    const char *doubt = NULL;
    size_t count = 0;

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->trust != TRUST_IN_DOUBT || use->why_not || use->day < (int)window->first_day ||
            use->day >= (int)window->after_day || judgement->places[use->place].against)
            continue;
        doubt = doubt ? doubt : use->doubt;
        count++;
    }
    if (count == 0)
        return arena_printf(judgement->mem, "no result%s", when);

    return arena_printf(judgement->mem, "no result%s but %zu in doubt%s%s", when, count,
                        doubt ? ": " : "", doubt ? doubt : "");
}

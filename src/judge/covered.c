#include "judge/covered.h"

#include "base/buf.h"
#include "base/str.h"
#include "judge/period.h"

/* Why readings of the window are in doubt; NULL: none is. */
static const char *doubts_of(const struct judgement *judgement, const struct window *window)
{
    const char *first = NULL;

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->trust != TRUST_IN_DOUBT || !use->doubt || use->day < (int)window->first_day ||
            use->day >= (int)window->after_day || str_equal(first, use->doubt))
            continue;
        if (first)
            return arena_printf(judgement->mem, "%s, and other reasons", first);
        first = use->doubt;
    }

    return first;
}

static struct coverage with_doubt(const struct judgement *judgement, const struct window *window)
{
    if (judgement->limit->period == PERIOD_DISCHARGE_RUN)
        return coverage_between(judgement, true, window->from_at, window->until_at);

    return coverage_sum(coverage_of_days(judgement, true), window->first_day, window->after_day);
}

const char *covered_too_little(const struct judgement *judgement, const struct window *window,
                               struct coverage covered, bool without_doubt)
{
    struct arena *mem = judgement->mem;
    const char *doubts = without_doubt ? doubts_of(judgement, window) : NULL;
    struct buf words = buf_new(mem);

    buf_addf(&words, "too little of the time was covered%s: %s percent of at least %s",
             window_words(judgement, window), decimal_text(mem, coverage_percent(covered)),
             decimal_text(mem, judgement->limit->least_coverage));
    if (!doubts)
        return words.data;

    struct coverage all = with_doubt(judgement, window);

    if (all.covered_us > covered.covered_us)
        buf_addf(&words, " without readings in doubt (%s), %s percent with them", doubts,
                 decimal_text(mem, coverage_percent(all)));

    return words.data;
}

#include "judge/bound_by.h"

#include "base/str.h"
#include "judge/bound_beside.h"
#include "measure/ammonia.h"

enum { FIGURES_SHOWN = 12, FORMULA_FIGURES_SHOWN = 6 };

struct bound bound_by_frame(const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;

    if (by->kind == BOUND_NUMBER)
        return bound_of_limit(limit);

    bool is_floor = by->kind != BOUND_STATE && by->is_floor;

    return (struct bound){
        .has_ceiling = !is_floor,
        .ceiling_reached_is_outside =
            !is_floor && by->kind != BOUND_STATE && by->reached_is_outside,
        .has_floor = is_floor,
        .floor_reached_is_outside = is_floor && by->reached_is_outside,
        .rounding = limit->rounding,
    };
}

struct amount bound_by_state(const struct limit *limit, const char *state)
{
    const struct limit_bound_by *by = &limit->bound_by;
    bool is_it = str_equal_nocase(by->state, state);

    return amount_from_decimal((struct decimal){.coefficient = is_it == by->state_is_outside});
}

/* Find what the bound goes by; the reason where something lacks. */
static const char *find_others(struct bound_finder *finder, const struct use *use,
                               struct bound_found *found)
{
    struct arena *mem = finder->judgement->mem;
    const struct limit_bound_by *by = finder->by;
    const char *why_not = NULL;

    if (use->at == INSTANT_NONE)
        return "its time is not known, so that no other reading is at the same time";
    for (size_t i = 0; i < by->other_count; i++) {
        struct partner *partner = &found->others[found->count];

        if (!partner_nearest(mem, &finder->sources[i], use->at, use->until, by->within_s, true,
                             partner))
            return arena_printf(mem, "no %s was read at %s within %s", by->others[i].parameter,
                                by->others[i].station, partner_apart_words(mem, by->within_s));
        found->count++;
        if (!why_not)
            why_not = bound_finder_unusable(mem, &by->others[i], partner);
    }

    return why_not;
}

static void keep_others(struct judgement *judgement, const struct bound_found *found,
                        struct use *use)
{
    struct verdict_other *others =
        ARENA_ARRAY(judgement->mem, struct verdict_other, use->other_count + found->count);
    size_t count = 0;

    for (size_t i = 0; i < found->count; i++) {
        const struct partner *partner = &found->others[i];

        others[count++] = (struct verdict_other){
            .series = partner->series,
            .reading = partner->reading,
            .value = partner->has_value ? amount_exact(judgement->mem, partner->value) : NULL};
    }
    for (size_t i = 0; i < use->other_count; i++)
        others[count++] = use->others[i];
    use->others = others;
    use->other_count = count;
}

static void fill(struct bound_finder *finder, struct use *use)
{
    struct judgement *judgement = finder->judgement;
    struct bound_found found = {.count = 0};
    const char *why_not = find_others(finder, use, &found);
    const struct exact *value = NULL;

    if (!why_not)
        value = bound_finder_value(finder, &found, &why_not);
    use->own_bound = bound_finder_bound(judgement, value);
    use->blocked = why_not;
    for (size_t i = 0; i < found.count; i++) {
        const char *doubt = found.others[i].doubt;

        if (!doubt)
            continue;
        doubt = arena_printf(judgement->mem, "the %s it is held against is in doubt: %s",
                             finder->by->others[i].parameter, doubt);
        if (use->trust == TRUST_SOUND)
            use->trust = TRUST_IN_DOUBT;
        if (!use->doubt)
            use->doubt = doubt;
        if (!use->blocked)
            use->blocked = doubt;
    }
    keep_others(judgement, &found, use);
}

void bound_by_fill(struct judgement *judgement)
{
    struct bound_finder finder;

    if (!bound_finder_of(judgement, &finder))
        return;
    for (size_t i = 0; i < judgement->count; i++)
        fill(&finder, &judgement->items[i]);
    bound_beside_add(&finder);
}

/* Whether a bound as it is shown lies where the bound itself lies. */
static bool shows_side(struct arena *mem, const char *shown, const struct exact *bound,
                       const struct exact *beside)
{
    struct decimal number;

    return !beside || !decimal_parse(shown, &number) ||
           exact_compare(exact_from_decimal(mem, number), beside) == exact_compare(bound, beside);
}

char *bound_by_shown(struct arena *mem, const struct limit *limit, const struct exact *bound,
                     const struct exact *beside)
{
    enum bound_kind kind = limit->bound_by.kind;
    bool is_formula = kind == BOUND_UNIONISED || kind == BOUND_SATURATION;
    int figures = is_formula ? FORMULA_FIGURES_SHOWN : FIGURES_SHOWN;
    char *shown = exact_text(mem, bound, figures);

    while (figures < FIGURES_SHOWN && !shows_side(mem, shown, bound, beside))
        shown = exact_text(mem, bound, ++figures);

    return shown;
}

/* The part is worked out as a share of the total: it has the total's own basis. */
static char *un_ionised_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;
    const char *words = arena_printf(
        mem,
        "the total that holds %s %s un-ionised (both as N, or both as NH3: as the clause's "
        "ammonia is)",
        decimal_text(mem, by->stated), limit->unit);
    enum ammonia_form form;

    if (!ammonia_form_parse(by->ammonia_form, &form))
        return arena_strdup(mem, words);

    return arena_printf(mem, "%s: %s, pH on the %s scale", words, ammonia_form_facts(form)->name,
                        ammonia_form_facts(form)->scale);
}

char *bound_by_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;

    switch (by->kind) {
    case BOUND_TABLE:
        return arena_printf(mem, "by the clause's table over %s", by->others[0].parameter);
    case BOUND_LINEAR:
        return arena_printf(mem, "%s + %s x %s", decimal_text(mem, by->offset),
                            decimal_text(mem, by->factor), by->others[0].parameter);
    case BOUND_UNIONISED:
        return un_ionised_words(mem, limit);
    case BOUND_SATURATION:
        return arena_printf(mem, "%s percent of saturation at 1 atm (Benson and Krause 1984)",
                            decimal_text(mem, by->stated));
    case BOUND_NUMBER:
    case BOUND_STATE:
        break;
    }

    return NULL;
}

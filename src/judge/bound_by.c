#include "judge/bound_by.h"

#include "base/str.h"
#include "judge/partner.h"
#include "measure/ammonia.h"
#include "measure/oxygen_solubility.h"

enum { FIGURES_SHOWN = 12, FORMULA_FIGURES_SHOWN = 6 };

/* One clause's bound while its readings get theirs. */
struct finder {
    struct judgement *judgement;
    const struct limit_bound_by *by;
    struct partner_source sources[LIMIT_OTHERS_MOST];
};

/* The readings found for one use, in the order of the clause's others. */
struct found {
    struct partner others[LIMIT_OTHERS_MOST];
    size_t count;
};

/* Bound of the readings found; NULL with the reason. */
typedef const struct exact *bound_finder(struct finder *finder, const struct found *found,
                                         const char **why_not);

static double number(struct arena *mem, const struct found *found, size_t other)
{
    return exact_double(amount_exact(mem, found->others[other].value));
}

static const struct exact *by_table(struct finder *finder, const struct found *found,
                                    const char **why_not)
{
    struct arena *mem = finder->judgement->mem;
    const struct limit_bound_by *by = finder->by;
    struct amount value = found->others[0].value;

    for (size_t i = 0; i < by->step_count; i++) {
        const struct bound_step *step = &by->steps[i];

        if (step->last || amount_compare(mem, value, amount_from_decimal(step->up_to)) <= 0)
            return exact_from_decimal(mem, step->bound);
    }
    *why_not = arena_printf(mem, "the clause's table ends before %s",
                            exact_text(mem, amount_exact(mem, value), DECIMAL_DIGITS_MOST));

    return NULL;
}

static const struct exact *by_line(struct finder *finder, const struct found *found,
                                   const char **why_not)
{
    struct arena *mem = finder->judgement->mem;
    const struct limit_bound_by *by = finder->by;

    (void)why_not;

    return exact_add(mem, exact_from_decimal(mem, by->offset),
                     exact_mul(mem, exact_from_decimal(mem, by->factor),
                               amount_exact(mem, found->others[0].value)));
}

static const struct exact *by_un_ionised(struct finder *finder, const struct found *found,
                                         const char **why_not)
{
    struct arena *mem = finder->judgement->mem;
    const struct limit_bound_by *by = finder->by;
    const struct ammonia_water water = {
        .ph = number(mem, found, 0),
        .t_degc = number(mem, found, 1),
        .salinity = found->count > 2 ? number(mem, found, 2) : 0,
    };
    enum ammonia_form form;
    double share = 0;
    struct err err = ERR_INIT;

    if (!ammonia_form_parse(by->ammonia_form, &form)) {
        *why_not = "the form of un-ionised ammonia that the clause names is not known";
        return NULL;
    }
    if (!ammonia_fraction(form, &water, &share, &err)) {
        *why_not = arena_strdup(mem, err.text);
        return NULL;
    }

    return exact_from_double(mem, decimal_double(by->stated) / share);
}

static const struct exact *by_saturation(struct finder *finder, const struct found *found,
                                         const char **why_not)
{
    struct judgement *judgement = finder->judgement;
    struct arena *mem = judgement->mem;
    const struct units *units = judgement->evidence->units;
    double salinity = found->count > 1 ? number(mem, found, 1) : 0;
    double mg_per_l = 0;
    const struct unit *unit = NULL;
    const struct exact *bound = NULL;
    struct err err = ERR_INIT;

    if (!oxygen_mg_per_l_from_percent(decimal_double(finder->by->stated), number(mem, found, 0),
                                      salinity, OXYGEN_AT_SEA_LEVEL, 1, &mg_per_l, &err) ||
        !unit_find(units, judgement->limit->unit, judgement->parameter, &unit, &err) ||
        !unit_convert(units, mem, unit_named(units, "mg/L"), unit, exact_from_double(mem, mg_per_l),
                      &bound, &err))
        *why_not = arena_strdup(mem, err.text);

    return bound;
}

/* What each kind takes besides the clause's own numbers, and how it works the bound out. */
static const struct {
    bound_finder *find;
    const char *units[LIMIT_OTHERS_MOST]; /* of a formula; NULL: as the clause states */
} kinds[] = {
    [BOUND_NUMBER] = {NULL, {0}},
    [BOUND_STATE] = {NULL, {0}},
    [BOUND_TABLE] = {by_table, {0}},
    [BOUND_LINEAR] = {by_line, {0}},
    [BOUND_UNIONISED] = {by_un_ionised, {"pH", "degC", "PSU"}},
    [BOUND_SATURATION] = {by_saturation, {"degC", "PSU", NULL}},
};

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

const char *bound_by_other_unit(const struct limit *limit, size_t other)
{
    const char *fixed = kinds[limit->bound_by.kind].units[other];

    return fixed ? fixed : limit->bound_by.others[other].unit;
}

/* Why a reading can't be worked with, or NULL. */
static const char *why_unusable(struct arena *mem, const struct limit_other *other,
                                const struct partner *partner)
{
    if (!partner->has_value || partner->qualifier != QUALIFIER_NONE)
        return arena_printf(mem, "the %s read at the same time is no single number",
                            other->parameter);

    return NULL;
}

/* Find what the bound goes by; the reason where something lacks. */
static const char *find_others(struct finder *finder, const struct use *use, struct found *found)
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
            why_not = why_unusable(mem, &by->others[i], partner);
    }

    return why_not;
}

static void keep_others(struct judgement *judgement, const struct found *found, struct use *use)
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

/* A bound with the number; without one, no side: nothing is beyond it, and the use is blocked. */
static struct bound *bound_with(const struct judgement *judgement, const struct exact *value)
{
    struct bound *bound = ARENA_NEW(judgement->mem, struct bound);

    *bound = judgement->bound;
    if (!value) {
        bound->has_ceiling = bound->has_floor = false;
        return bound;
    }
    bound->ceiling = bound->floor = amount_from_exact(value);

    return bound;
}

static void fill(struct finder *finder, struct use *use)
{
    struct judgement *judgement = finder->judgement;
    struct found found = {.count = 0};
    const char *why_not = find_others(finder, use, &found);
    const struct exact *value = NULL;

    if (!why_not)
        value = kinds[finder->by->kind].find(finder, &found, &why_not);
    use->own_bound = bound_with(judgement, value);
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
    const struct limit *limit = judgement->limit;
    struct finder finder = {.judgement = judgement, .by = &limit->bound_by};

    if (!kinds[limit->bound_by.kind].find)
        return;
    for (size_t i = 0; i < finder.by->other_count; i++) {
        const struct limit_other *other = &finder.by->others[i];

        finder.sources[i] =
            partner_source_of(judgement->mem, judgement->evidence,
                              &(struct limit_place){other->station, other->position},
                              other->parameter, bound_by_other_unit(limit, i));
    }
    for (size_t i = 0; i < judgement->count; i++)
        fill(&finder, &judgement->items[i]);
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

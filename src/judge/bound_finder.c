#include "judge/bound_finder.h"

#include "judge/bound_by.h"
#include "measure/ammonia.h"
#include "measure/oxygen_solubility.h"

typedef const struct exact *bound_work(struct bound_finder *finder, const struct bound_found *found,
                                       const char **why_not);

static double number(struct arena *mem, const struct bound_found *found, size_t other)
{
    return exact_double(amount_exact(mem, found->others[other].value));
}

static const struct exact *by_table(struct bound_finder *finder, const struct bound_found *found,
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

static const struct exact *by_line(struct bound_finder *finder, const struct bound_found *found,
                                   const char **why_not)
{
    struct arena *mem = finder->judgement->mem;
    const struct limit_bound_by *by = finder->by;

    (void)why_not;

    return exact_add(mem, exact_from_decimal(mem, by->offset),
                     exact_mul(mem, exact_from_decimal(mem, by->factor),
                               amount_exact(mem, found->others[0].value)));
}

static const struct exact *by_un_ionised(struct bound_finder *finder,
                                         const struct bound_found *found, const char **why_not)
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

static const struct exact *by_saturation(struct bound_finder *finder,
                                         const struct bound_found *found, const char **why_not)
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
    bound_work *find;
    const char *units[LIMIT_OTHERS_MOST]; /* of a formula; NULL: as the clause states */
} kinds[] = {
    [BOUND_NUMBER] = {NULL, {0}},
    [BOUND_STATE] = {NULL, {0}},
    [BOUND_TABLE] = {by_table, {0}},
    [BOUND_LINEAR] = {by_line, {0}},
    [BOUND_UNIONISED] = {by_un_ionised, {"pH", "degC", "PSU"}},
    [BOUND_SATURATION] = {by_saturation, {"degC", "PSU", NULL}},
};

const char *bound_by_other_unit(const struct limit *limit, size_t other)
{
    const char *fixed = kinds[limit->bound_by.kind].units[other];

    return fixed ? fixed : limit->bound_by.others[other].unit;
}

const char *bound_finder_unusable(struct arena *mem, const struct limit_other *other,
                                  const struct partner *partner)
{
    if (!partner->has_value || partner->qualifier != QUALIFIER_NONE)
        return arena_printf(mem, "the %s read at the same time is no single number",
                            other->parameter);

    return NULL;
}

struct bound *bound_finder_bound(const struct judgement *judgement, const struct exact *value)
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

const struct exact *bound_finder_value(struct bound_finder *finder, const struct bound_found *found,
                                       const char **why_not)
{
    return kinds[finder->by->kind].find(finder, found, why_not);
}

bool bound_finder_of(struct judgement *judgement, struct bound_finder *out)
{
    const struct limit *limit = judgement->limit;

    if (!kinds[limit->bound_by.kind].find)
        return false;
    *out = (struct bound_finder){.judgement = judgement, .by = &limit->bound_by};
    for (size_t i = 0; i < out->by->other_count; i++) {
        const struct limit_other *other = &out->by->others[i];

        out->sources[i] = partner_source_of(judgement->mem, judgement->evidence,
                                            &(struct limit_place){other->station, other->position},
                                            other->parameter, bound_by_other_unit(limit, i));
    }

    return true;
}

#include "measure/nutrient_balance.h"

#include "measure/input_range.h"

static const struct {
    const char *name;
    bool in;
} terms[NUTRIENT_TERM_COUNT] = {
    [NUTRIENT_BROUGHT] = {"brought by water", true},
    [NUTRIENT_FERTILISER] = {"added as fertiliser", true},
    [NUTRIENT_FEED] = {"added with feed", true},
    [NUTRIENT_LEFT] = {"left by discharge", false},
    [NUTRIENT_HARVESTED] = {"taken out with animals", false},
};

const char *nutrient_term_name(enum nutrient_term term)
{
    return terms[term].name;
}

bool nutrient_balance(const struct nutrient_month *month, struct nutrient_kept *out,
                      struct err *err)
{
    struct nutrient_kept kept = {0};

    for (unsigned i = 0; i < NUTRIENT_TERM_COUNT; i++) {
        const struct nutrient_amount *amount = &month->terms[i];

        if (!amount->known) {
            kept.wants |= 1U << i;
            continue;
        }
        if (!input_not_negative(terms[i].name, amount->kg, "kg", err))
            return false;
        if (terms[i].in)
            kept.in_kg += amount->kg;
        else
            kept.out_kg += amount->kg;
    }

    kept.known = kept.wants == 0;
    if (kept.known)
        kept.kg = kept.in_kg - kept.out_kg;
    *out = kept;

    return true;
}

bool nutrient_in_water(double volume_m3, double mg_per_l, double *kg, struct err *err)
{
    if (!input_not_negative("volume", volume_m3, "m3", err) ||
        !input_not_negative("concentration", mg_per_l, "mg/L", err))
        return false;

    *kg = volume_m3 * mg_per_l / 1000;

    return true;
}

bool nutrient_in_addition(double added_kg, double share, double *kg, struct err *err)
{
    if (!input_not_negative("amount added", added_kg, "kg", err) ||
        !input_within("share of the nutrient", share, 0, 1, "(a share)", err))
        return false;

    *kg = added_kg * share;

    return true;
}

bool nutrient_in_animals(double animals, double kg_per_million, double *kg, struct err *err)
{
    if (!input_not_negative("animals", animals, "animals", err) ||
        !input_not_negative("content", kg_per_million, "kg a million", err))
        return false;

    *kg = animals * kg_per_million / 1e6;

    return true;
}

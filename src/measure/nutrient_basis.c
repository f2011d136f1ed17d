#include "measure/nutrient_basis.h"

#include "base/str.h"

#define MASS_H 1.00794
#define MASS_N 14.0067
#define MASS_O 15.9994
#define MASS_SI 28.0855
#define MASS_P 30.973762

/* Those of one family are the same matter. The element alone is of none: it is in all of its. */
static const struct basis {
    const char *text;
    const char *element;
    const char *family; /* NULL: the element itself */
    double g_per_mol;   /* for each mole of the element */
} bases[] = {
    {"as N", "nitrogen", NULL, MASS_N},
    {"as NO3", "nitrogen", "nitrate", MASS_N + 3 * MASS_O},
    {"as NO2", "nitrogen", "nitrite", MASS_N + 2 * MASS_O},
    {"as NH3", "nitrogen", "ammonia", MASS_N + 3 * MASS_H},
    {"as NH4", "nitrogen", "ammonia", MASS_N + 4 * MASS_H},
    {"as P", "phosphorus", NULL, MASS_P},
    {"as PO4", "phosphorus", "phosphate", MASS_P + 4 * MASS_O},
    {"as P2O5", "phosphorus", "phosphate", MASS_P + 2.5 * MASS_O},
    {"as Si", "silicon", NULL, MASS_SI},
    {"as SiO2", "silicon", "silica", MASS_SI + 2 * MASS_O},
};

const char *nutrient_basis_at(size_t position)
{
    return position < ARRAY_LEN(bases) ? bases[position].text : NULL;
}

static bool find(const char *text, const struct basis **out, struct err *err)
{
    for (size_t i = 0; i < ARRAY_LEN(bases); i++) {
        if (str_equal(bases[i].text, text)) {
            *out = &bases[i];
            return true;
        }
    }
    if (str_empty(text))
        err_set(err, ERR_INVALID, "there is no basis, as \"as N\"");
    else
        err_set(err, ERR_INVALID, "the basis \"%.40s\" can't be changed into another", text);

    return err_hint(err, "Those that can: as N, NO3, NO2, NH3, NH4; as P, PO4, P2O5; as Si, SiO2.");
}

static bool go_together(const struct basis *from, const struct basis *to)
{
    if (!str_equal(from->element, to->element))
        return false;

    return !from->family || !to->family || str_equal(from->family, to->family);
}

bool nutrient_basis_factor(const char *from, const char *to, double *out, struct err *err)
{
    const struct basis *from_basis = NULL;
    const struct basis *to_basis = NULL;

    if (!find(from, &from_basis, err) || !find(to, &to_basis, err))
        return false;
    if (!go_together(from_basis, to_basis)) {
        err_set(err, ERR_INVALID, "what is told %s can't be told %s", from, to);
        return err_hint(err, "They are different matter, not two ways to tell the same.");
    }
    *out = to_basis->g_per_mol / from_basis->g_per_mol;

    return true;
}

bool nutrient_basis_g_per_mol(const char *basis, double *out, struct err *err)
{
    const struct basis *found = NULL;

    if (!find(basis, &found, err))
        return false;
    *out = found->g_per_mol;

    return true;
}

#include "measure/load.h"

#include "measure/unit_parts.h"

/* Base units are kg/m3, m3, m3/s, kg and kg/s, so that no further number comes in. */
static const struct {
    enum unit_dimension concentration;
    enum unit_dimension water;
    enum unit_dimension load;
} products[] = {
    {DIMENSION_MASS_CONCENTRATION, DIMENSION_VOLUME, DIMENSION_MASS},
    {DIMENSION_MASS_CONCENTRATION, DIMENSION_VOLUME_FLOW, DIMENSION_MASS_FLOW},
};

static bool go_together(const struct unit *concentration, const struct unit *water,
                        const struct unit *load)
{
    for (size_t i = 0; i < ARRAY_LEN(products); i++)
        if (concentration->dimension == products[i].concentration &&
            water->dimension == products[i].water && load->dimension == products[i].load)
            return true;

    return false;
}

bool load_factor(struct arena *mem, const struct unit *concentration, const struct unit *water,
                 const struct unit *load, const struct exact **out, struct err *err)
{
    if (!go_together(concentration, water, load)) {
        err_set(err, ERR_INVALID, "%s times %s does not give %s", concentration->name, water->name,
                load->name);
        return err_hint(err, "A load needs a mass by volume, and a volume or a flow, "
                             "as mg/L x m3/day to kg/day.");
    }

    const struct exact *product = exact_mul(mem, concentration->factor, water->factor);

    *out = exact_div(mem, product, load->factor);

    return true;
}

const struct exact *load_of(struct arena *mem, const struct exact *concentration,
                            const struct exact *water, const struct exact *factor)
{
    return exact_mul(mem, exact_mul(mem, concentration, water), factor);
}

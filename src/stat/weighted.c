#include "stat/weighted.h"

bool weighted_mean(struct arena *mem, const struct amount *values, const struct amount *weights,
                   size_t count, const struct exact **out, struct err *err)
{
    struct amount *products = ARENA_ARRAY(mem, struct amount, count);

    if (count == 0)
        return err_set(err, ERR_INVALID, "there is no value to work out a weighted mean from");

    for (size_t i = 0; i < count; i++) {
        if (amount_sign(weights[i]) < 0)
            return err_set(err, ERR_INVALID, "a weighted mean has no answer for a weight below 0");
        products[i] = amount_multiply(mem, values[i], weights[i]);
    }

    const struct exact *figure =
        exact_div(mem, amount_sum(mem, products, count), amount_sum(mem, weights, count));

    if (!figure)
        return err_set(err, ERR_INVALID, "a weighted mean has no answer where all weights are 0");
    *out = figure;

    return true;
}

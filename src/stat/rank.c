#include "stat/rank.h"

static bool median(struct arena *mem, const struct stat_input *input, const struct exact **out,
                   struct err *err)
{
    const struct amount *sorted =
        input->sorted ? input->sorted : amount_sorted(mem, input->values, input->count);
    const struct amount *upper = &sorted[input->count / 2];
    const struct amount *lower = input->count % 2 == 1 ? upper : upper - 1;
    const struct exact *both = exact_add(mem, amount_exact(mem, *lower), amount_exact(mem, *upper));

    (void)err;
    *out = exact_div(mem, both, exact_from_int(mem, 2));

    return true;
}

/* The value that stands `side` (-1, 1) of all others. */
static const struct exact *extreme(struct arena *mem, const struct stat_input *input, int side)
{
    struct amount found = input->values[0];

    for (size_t i = 1; i < input->count; i++)
        if (amount_compare(mem, input->values[i], found) == side)
            found = input->values[i];

    return amount_exact(mem, found);
}

static bool minimum(struct arena *mem, const struct stat_input *input, const struct exact **out,
                    struct err *err)
{
    (void)err;
    *out = extreme(mem, input, -1);

    return true;
}

static bool maximum(struct arena *mem, const struct stat_input *input, const struct exact **out,
                    struct err *err)
{
    (void)err;
    *out = extreme(mem, input, 1);

    return true;
}

const struct statistic stat_median = {.word = "median", .sorts = true, .work_out = median};
const struct statistic stat_minimum = {
    .word = "minimum", .more = STAT_MORE_LOWERS, .picks = true, .work_out = minimum};
const struct statistic stat_maximum = {
    .word = "maximum", .more = STAT_MORE_RAISES, .picks = true, .work_out = maximum};

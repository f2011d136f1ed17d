#include "measure/flume.h"

#include <math.h>

#include "base/str.h"
#include "measure/input_range.h"
#include "measure/unseen.h"

#define FT HEAD_M_PER_FT
#define WHY "ISO 9826 and Bos (1989), " UNSEEN_BOTH

static const struct flume_row rows[FLUME_SIZE_COUNT] = {
    [FLUME_1_IN] = {"1 in", 0.0254, {0.0604, 1.55}, {0.338, 1.55}, {0.015, 0.21, WHY}, 0.50},
    [FLUME_2_IN] = {"2 in", 0.0508, {0.1207, 1.55}, {0.676, 1.55}, {0.015, 0.24, WHY}, 0.50},
    [FLUME_3_IN] = {"3 in", 0.0762, {0.1771, 1.55}, {0.992, 1.547}, {0.03, 0.33, WHY}, 0.50},
    [FLUME_6_IN] = {"6 in", 0.1524, {0.3812, 1.58}, {2.06, 1.58}, {0.03, 0.45, WHY}, 0.55},
    [FLUME_9_IN] = {"9 in", 0.2286, {0.5354, 1.53}, {3.07, 1.53}, {0.03, 0.60, WHY}, 0.60},
    [FLUME_1_FT] = {"1 ft", 0.3048, {0.6909, 1.522}, {0, 0}, {0.03, 0.76, WHY}, 0.62},
    [FLUME_18_IN] = {"18 in", 0.4572, {1.056, 1.538}, {0, 0}, {0.03, 0.76, WHY}, 0.64},
    [FLUME_2_FT] = {"2 ft", 0.6096, {1.428, 1.550}, {0, 0}, {0.046, 0.76, WHY}, 0.66},
    [FLUME_3_FT] = {"3 ft", 0.9144, {2.184, 1.566}, {0, 0}, {0.046, 0.76, WHY}, 0.68},
    [FLUME_4_FT] = {"4 ft", 1.2192, {2.953, 1.578}, {0, 0}, {0.06, 0.76, WHY}, 0.70},
    [FLUME_5_FT] = {"5 ft", 1.5240, {3.732, 1.587}, {0, 0}, {0.076, 0.76, WHY}, 0.70},
    [FLUME_6_FT] = {"6 ft", 1.8288, {4.519, 1.595}, {0, 0}, {0.076, 0.76, WHY}, 0.70},
    [FLUME_7_FT] = {"7 ft", 2.1336, {5.312, 1.601}, {0, 0}, {0.09, 0.76, WHY}, 0.70},
    [FLUME_8_FT] = {"8 ft", 2.4384, {6.112, 1.607}, {0, 0}, {0.09, 0.76, WHY}, 0.70},
};

const struct flume_row *flume_row(enum flume_size size)
{
    return &rows[size];
}

struct flume_power flume_power(enum flume_size size, enum flume_family family)
{
    const struct flume_row *row = &rows[size];
    double throat_ft = row->throat_m / FT;

    if (family == FLUME_SI)
        return row->si;
    if (row->english.coefficient > 0)
        return row->english;

    return (struct flume_power){4 * throat_ft, 1.522 * pow(throat_ft, 0.026)};
}

bool flume_size_named(const char *word, enum flume_size *out, struct err *err)
{
    for (int i = 0; i < FLUME_SIZE_COUNT; i++)
        if (str_equal(rows[i].word, word)) {
            *out = (enum flume_size)i;
            return true;
        }

    err_set(err, ERR_NOT_FOUND, "no flume of throat %s is known", word);

    return err_hint(err, "Sizes are 1, 2, 3, 6, 9 and 18 in, and 1 to 8 ft, such as \"2 ft\".");
}

/* Metres and m3/s per unit of the family. */
static double length_of(enum flume_family family)
{
    return family == FLUME_SI ? 1 : FT;
}

static double power_flow(enum flume_size size, enum flume_family family, double head_m)
{
    struct flume_power power = flume_power(size, family);
    double length = length_of(family);

    return power.coefficient * pow(head_m / length, power.exponent) * length * length * length;
}

bool flume_flow(enum flume_size size, enum flume_family family, double head_m, double *m3_per_s,
                struct err *err)
{
    if (!head_range_require(&rows[size].range, rows[size].word, head_m, err))
        return err_wrap(err, "flume");

    *m3_per_s = power_flow(size, family, head_m);

    return true;
}

bool flume_flow_flagged(enum flume_size size, enum flume_family family, double head_m,
                        double *m3_per_s, bool *inside, struct err *err)
{
    if (!input_not_negative("head", head_m, "m", err))
        return false;

    *inside = head_range_holds(&rows[size].range, head_m);
    *m3_per_s = power_flow(size, family, head_m);

    return true;
}

bool flume_head_for_flow(enum flume_size size, enum flume_family family, double m3_per_s,
                         double *head_m, struct err *err)
{
    const struct head_range *range = &rows[size].range;
    struct flume_power power = flume_power(size, family);
    double length = length_of(family);

    if (!input_within("flow", m3_per_s, power_flow(size, family, range->lowest_m),
                      power_flow(size, family, range->highest_m), "m3/s", err))
        return err_wrap(err, "flume of %s", rows[size].word);

    *head_m =
        length * pow(m3_per_s / (length * length * length) / power.coefficient, 1 / power.exponent);

    return true;
}

bool flume_is_submerged(enum flume_size size, double upstream_m, double downstream_m, bool *out,
                        struct err *err)
{
    if (!input_positive("upstream head", upstream_m, "m", err) ||
        !input_finite("downstream head", downstream_m, "m", err))
        return false;

    *out = downstream_m / upstream_m > rows[size].submergence;

    return true;
}

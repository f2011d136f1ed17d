#include "trust/probe_check.h"

#include <math.h>

const char *const probe_result_words[PROBE_RESULTS + 1] = {"not checked", "good", "failed",
                                                           "beyond", NULL};

static double in_criteria(const struct unit_conversion *conversion, struct decimal value)
{
    return conversion->is_same ? decimal_double(value)
                               : unit_apply_double(conversion, decimal_double(value));
}

static const struct exact *minus(struct arena *mem, struct decimal a, struct decimal b)
{
    return exact_sub(mem, exact_from_decimal(mem, a), exact_from_decimal(mem, b));
}

/* (after - before) - (meter after - meter before). */
static const struct exact *fouling_of(struct arena *mem, const struct probe_readings *readings)
{
    const struct exact *probe = minus(mem, readings->after, readings->before);

    return readings->beside_meter
               ? exact_sub(mem, probe, minus(mem, readings->meter_after, readings->meter_before))
               : probe;
}

static struct fouling_check fouling_check_of(const struct unit_conversion *conversion,
                                             const struct probe_readings *readings)
{
    struct fouling_check check = {.probe_before = in_criteria(conversion, readings->before),
                                  .probe_after = in_criteria(conversion, readings->after)};

    if (readings->beside_meter) {
        check.meter_before = in_criteria(conversion, readings->meter_before);
        check.meter_after = in_criteria(conversion, readings->meter_after);
    }

    return check;
}

/* --- the error at the water's value ---------------------------------------------------------- */

static const struct exact *drift_at(struct arena *mem, const struct probe_standard *standard)
{
    return minus(mem, standard->standard, standard->found);
}

/* The standards on either side of what the probe reads in the water; NULL: none on that side. */
static void find_around(const struct probe_readings *readings, const struct probe_standard **below,
                        const struct probe_standard **above)
{
    for (size_t i = 0; i < readings->standard_count; i++) {
        const struct probe_standard *one = &readings->standards[i];

        if (decimal_compare(one->found, readings->after) <= 0) {
            if (!*below || decimal_compare(one->found, (*below)->found) > 0)
                *below = one;
        } else if (!*above || decimal_compare(one->found, (*above)->found) < 0) {
            *above = one;
        }
    }
}

static const struct exact *drift_largest(struct arena *mem, const struct probe_readings *readings)
{
    const struct exact *largest = NULL;

    for (size_t i = 0; i < readings->standard_count; i++) {
        const struct exact *error = drift_at(mem, &readings->standards[i]);

        if (!largest || fabs(exact_double(error)) > fabs(exact_double(largest)))
            largest = error;
    }

    return largest;
}

static const struct exact *drift_of(struct arena *mem, const struct probe_readings *readings)
{
    const struct probe_standard *below = NULL;
    const struct probe_standard *above = NULL;

    if (!readings->in_water)
        return drift_largest(mem, readings);
    find_around(readings, &below, &above);
    if (!below || !above)
        return below || above ? drift_at(mem, below ? below : above) : NULL;

    const struct exact *low = drift_at(mem, below);
    const struct exact *share = exact_div(mem, minus(mem, readings->after, below->found),
                                          minus(mem, above->found, below->found));

    return exact_add(mem, low, exact_mul(mem, share, exact_sub(mem, drift_at(mem, above), low)));
}

/* --- found and left -------------------------------------------------------------------------- */

static enum probe_result result_of(const struct drift_finding *finding)
{
    if (finding->beyond_most)
        return PROBE_BEYOND;

    return finding->has_to_correct ? PROBE_FAILED : PROBE_GOOD;
}

static void found_add(struct probe_outcome *outcome, const struct drift_finding *finding)
{
    enum probe_result result = result_of(finding);

    if (result > outcome->found)
        outcome->found = result;
    if (finding->rating > outcome->rating)
        outcome->rating = finding->rating;
}

static void found_judge(const struct drift_criteria *criteria,
                        const struct unit_conversion *conversion,
                        const struct probe_readings *readings, struct probe_outcome *outcome)
{
    struct fouling_check fouling = fouling_check_of(conversion, readings);
    const struct fouling_check *in_water = readings->in_water ? &fouling : NULL;
    struct drift_finding finding;

    for (size_t i = 0; i < readings->standard_count; i++) {
        const struct drift_check drift = {in_criteria(conversion, readings->standards[i].standard),
                                          in_criteria(conversion, readings->standards[i].found)};

        finding = drift_judge(criteria, in_water, &drift);
        found_add(outcome, &finding);
    }
    if (readings->standard_count == 0 && in_water) {
        finding = drift_judge(criteria, in_water, NULL);
        found_add(outcome, &finding);
    }
}

/* Cleaned, and calibrated where it was: whether what it reads now needs no correction. */
static void left_judge(const struct drift_criteria *criteria,
                       const struct unit_conversion *conversion,
                       const struct probe_readings *readings, struct probe_outcome *outcome)
{
    for (size_t i = 0; i < readings->standard_count; i++) {
        const struct probe_standard *one = &readings->standards[i];
        const struct drift_check drift = {
            in_criteria(conversion, one->standard),
            in_criteria(conversion, one->has_after ? one->after : one->found)};
        struct drift_finding finding;

        if (outcome->calibrated && !one->has_after)
            continue;
        finding = drift_judge(criteria, NULL, &drift);
        if (result_of(&finding) != PROBE_GOOD)
            outcome->left = PROBE_FAILED;
        else if (outcome->left == PROBE_NOT_CHECKED)
            outcome->left = PROBE_GOOD;
    }
}

struct probe_outcome probe_judge(struct arena *mem, const struct drift_criteria *criteria,
                                 const struct unit_conversion *to_criteria,
                                 const struct probe_readings *readings)
{
    struct probe_outcome outcome = {.cleaned = readings->in_water};

    if (readings->in_water)
        outcome.fouling = fouling_of(mem, readings);
    if (readings->standard_count > 0)
        outcome.drift = drift_of(mem, readings);
    for (size_t i = 0; i < readings->standard_count; i++)
        outcome.calibrated = outcome.calibrated || readings->standards[i].has_after;
    found_judge(criteria, to_criteria, readings, &outcome);
    left_judge(criteria, to_criteria, readings, &outcome);

    return outcome;
}

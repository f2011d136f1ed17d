#include "trust/drift.h"

#include <math.h>
#include <string.h>

const char *const drift_rating_words[DRIFT_RATINGS] = {"excellent", "good", "fair", "poor"};

static const struct drift_criteria published[] = {
    {"water temperature", "degC", {0.2, 0}, {{0.2, 0}, {0.5, 0}, {0.8, 0}}, {2.0, 0}},
    {"specific conductance", "uS/cm", {5, 3}, {{0, 3}, {0, 10}, {0, 15}}, {0, 30}},
    {"dissolved oxygen", "mg/L", {0.3, 0}, {{0.3, 5}, {0.5, 10}, {0.8, 15}}, {2.0, 20}},
    {"pH", "pH", {0.2, 0}, {{0.2, 0}, {0.5, 0}, {0.8, 0}}, {2, 0}},
    {"turbidity", "FNU", {0.5, 5}, {{0.5, 5}, {1.0, 10}, {1.5, 15}}, {3.0, 30}},
};

const struct drift_criteria *drift_published(size_t at)
{
    return at < sizeof(published) / sizeof(published[0]) ? &published[at] : NULL;
}

const struct drift_criteria *drift_published_of(const char *quantity)
{
    const struct drift_criteria *criteria;

    for (size_t i = 0; (criteria = drift_published(i)); i++) {
        if (strcmp(criteria->quantity, quantity) == 0)
            return criteria;
    }

    return NULL;
}

static struct drift_error error_of(double amount, double of)
{
    return (struct drift_error){amount, of == 0.0 ? (double)NAN : 100.0 * amount / of};
}

struct drift_error fouling_error(const struct fouling_check *check)
{
    double amount =
        (check->probe_after - check->probe_before) - (check->meter_after - check->meter_before);

    return error_of(amount, check->probe_before);
}

struct drift_error drift_error_of(const struct drift_check *check)
{
    return error_of(check->standard - check->reading, check->reading);
}

/* How much of a bound's two parts an error must be beyond to be beyond the bound. */
enum bound_parts { EITHER_PART, BOTH_PARTS };

/* A step of decimals that is just at its bound must not fall beyond it as doubles. */
static bool is_over(double size, double bound)
{
    return bound > 0.0 && size > bound * (1 + 1e-9);
}

static bool is_beyond(const struct drift_bound *bound, double amount, double percent,
                      enum bound_parts parts)
{
    bool over_amount = is_over(amount, bound->amount);
    bool over_percent = is_over(percent, bound->percent);

    if (bound->amount == 0.0 && isnan(percent))
        return amount > 0.0;
    if (bound->amount == 0.0 || bound->percent == 0.0 || isnan(percent))
        return over_amount || over_percent;

    return parts == BOTH_PARTS ? over_amount && over_percent : over_amount || over_percent;
}

struct drift_finding drift_judge(const struct drift_criteria *criteria,
                                 const struct fouling_check *fouling,
                                 const struct drift_check *drift)
{
    struct drift_finding finding = {0};

    if (fouling)
        finding.fouling = fouling_error(fouling);
    if (drift)
        finding.drift = drift_error_of(drift);
    finding.total = finding.fouling.amount + finding.drift.amount;
    finding.size = fabs(finding.fouling.amount) + fabs(finding.drift.amount);
    finding.size_percent = fabs(finding.fouling.percent) + fabs(finding.drift.percent);
    finding.has_to_correct =
        is_beyond(&criteria->correct, finding.size, finding.size_percent, BOTH_PARTS);
    finding.beyond_most =
        is_beyond(&criteria->most, finding.size, finding.size_percent, EITHER_PART);
    while (finding.rating < DRIFT_POOR && is_beyond(&criteria->up_to[finding.rating], finding.size,
                                                    finding.size_percent, EITHER_PART))
        finding.rating++;

    return finding;
}

double drift_prorated(double total, instant from, instant until, instant at)
{
    if (at < from || at > until || until <= from)
        return 0.0;

    return total * ((double)(at - from) / (double)(until - from));
}

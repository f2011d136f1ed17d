#include "stat/kaplan_meier.h"

#include <math.h>

static const char method[] = "the Kaplan-Meier method";

const char *const kaplan_meier_rest_words[] = {
    [KAPLAN_MEIER_REST_AT_NUMBER] = "at the smallest number",
    [KAPLAN_MEIER_REST_AT_LIMIT] = "at the smallest limit",
};

/* The numbers, ascending, each once, with how many results equal it and how many lie below. */
static void count_steps(struct arena *mem, const struct censored_value *sorted, size_t count,
                        struct kaplan_meier *fit)
{
    fit->steps = ARENA_ARRAY(mem, struct kaplan_meier_step, count);

    for (size_t i = 0; i < count; i++) {
        bool first = i == 0 || amount_compare(mem, sorted[i].value, sorted[i - 1].value) != 0;

        if (sorted[i].less_than) {
            fit->less_thans++;
            continue;
        }
        /* A less-than comes before a number of the same size. */
        if (first || sorted[i - 1].less_than)
            fit->steps[fit->count++].value = amount_exact(mem, sorted[i].value);
        fit->steps[fit->count - 1].numbers++;
        fit->steps[fit->count - 1].at_risk = i + 1;
        fit->numbers++;
    }
}

static void work_out_shares(struct arena *mem, struct kaplan_meier *fit)
{
    const struct exact *reached = exact_from_int(mem, 1);

    for (size_t i = fit->count; i-- > 0;) {
        struct kaplan_meier_step *step = &fit->steps[i];

        step->reached = reached;
        step->below = exact_mul(mem, reached,
                                exact_from_ratio(mem, (int64_t)(step->at_risk - step->numbers),
                                                 (int64_t)step->at_risk));
        reached = step->below;
    }
}

bool kaplan_meier_fit(struct arena *mem, const struct censored_value *values, size_t count,
                      enum kaplan_meier_rest rest, struct kaplan_meier *out, struct err *err)
{
    struct kaplan_meier fit = {.count = 0};

    if (!censored_check(values, count, method, err))
        return false;

    const struct censored_value *sorted = censored_sorted(mem, values, count);

    count_steps(mem, sorted, count, &fit);
    work_out_shares(mem, &fit);
    /* Something is left only where a limit lies at or below the smallest number. */
    fit.rest = rest == KAPLAN_MEIER_REST_AT_LIMIT ? amount_exact(mem, sorted[0].value)
                                                  : fit.steps[0].value;
    *out = fit;

    return true;
}

static const struct exact *share_of(struct arena *mem, const struct kaplan_meier_step *step)
{
    return exact_sub(mem, step->reached, step->below);
}

/* Sum of the shares times what lies at them; the rest comes first. */
static const struct exact *sum_of_shares(struct arena *mem, const struct kaplan_meier *fit,
                                         const struct exact *(*of)(struct arena *mem,
                                                                   const struct exact *value,
                                                                   const struct exact *about),
                                         const struct exact *about)
{
    const struct exact *sum = exact_mul(mem, fit->steps[0].below, of(mem, fit->rest, about));

    for (size_t i = 0; i < fit->count; i++)
        sum = exact_add(
            mem, sum,
            exact_mul(mem, share_of(mem, &fit->steps[i]), of(mem, fit->steps[i].value, about)));

    return sum;
}

static const struct exact *itself(struct arena *mem, const struct exact *value,
                                  const struct exact *about)
{
    (void)mem;
    (void)about;

    return value;
}

static const struct exact *squared_about(struct arena *mem, const struct exact *value,
                                         const struct exact *about)
{
    const struct exact *away = exact_sub(mem, value, about);

    return exact_mul(mem, away, away);
}

const struct exact *kaplan_meier_mean(struct arena *mem, const struct kaplan_meier *fit)
{
    return sum_of_shares(mem, fit, itself, NULL);
}

static const struct exact *root(struct arena *mem, const struct exact *square)
{
    return exact_from_double(mem, sqrt(exact_double(square)));
}

const struct exact *kaplan_meier_deviation(struct arena *mem, const struct kaplan_meier *fit)
{
    return root(mem, sum_of_shares(mem, fit, squared_about, kaplan_meier_mean(mem, fit)));
}

const struct exact *kaplan_meier_mean_error(struct arena *mem, const struct kaplan_meier *fit)
{
    const struct exact *area = exact_from_int(mem, 0);
    const struct exact *sum = area;
    int64_t numbers = (int64_t)fit->numbers;

    for (size_t i = 0; i + 1 < fit->count; i++) {
        const struct kaplan_meier_step *step = &fit->steps[i];
        const struct kaplan_meier_step *next = step + 1;
        const struct exact *weight =
            exact_div(mem, exact_from_int(mem, (int64_t)next->numbers),
                      exact_mul(mem, exact_from_int(mem, (int64_t)next->at_risk),
                                exact_from_int(mem, (int64_t)(next->at_risk - next->numbers))));

        area = exact_add(mem, area,
                         exact_mul(mem, step->reached, exact_sub(mem, next->value, step->value)));
        sum = exact_add(mem, sum, exact_mul(mem, exact_mul(mem, area, area), weight));
    }

    return root(mem, exact_mul(mem, sum, exact_from_ratio(mem, numbers, numbers - 1)));
}

bool kaplan_meier_percentile(struct arena *mem, const struct kaplan_meier *fit,
                             const struct exact *p, const struct exact **out,
                             const struct exact **below, struct err *err)
{
    enum { FIGURES = 12 };
    const struct kaplan_meier_step *step = fit->steps;

    if (exact_sign(p) < 0 || exact_compare(p, exact_from_int(mem, 1)) > 0)
        return err_set(err, ERR_INVALID, "a percentile lies between 0 and 100");
    if (exact_sign(step->below) > 0 && exact_compare(p, step->below) <= 0) {
        if (below)
            *below = step->value;
        return err_set(err, ERR_INVALID,
                       "it lies below the smallest number found: it is < %s, and no closer",
                       exact_text(mem, step->value, FIGURES));
    }

    while (exact_compare(step->reached, p) < 0)
        step++;
    *out = step->value;

    return true;
}

/* A share of the results, and the logarithm of where they lie. */
struct log_share {
    long double share;
    long double log;
};

static struct log_share log_share_of(const struct exact *below, const struct exact *reached,
                                     const struct exact *value)
{
    return (struct log_share){.share = (long double)exact_double(reached) -
                                       (long double)(below ? exact_double(below) : 0),
                              .log = logl((long double)exact_double(value))};
}

/* Position 0 is the rest, then the steps. */
static struct log_share log_share_at(const struct kaplan_meier *fit, size_t position)
{
    const struct kaplan_meier_step *first = fit->steps;

    if (position == 0)
        return log_share_of(NULL, first->below, fit->rest);

    return log_share_of(first[position - 1].below, first[position - 1].reached,
                        first[position - 1].value);
}

bool kaplan_meier_logs(const struct kaplan_meier *fit, double *mean, double *deviation,
                       struct err *err)
{
    long double sum = 0;
    long double squares = 0;

    if (exact_sign(fit->steps[0].value) <= 0 || exact_sign(fit->rest) <= 0)
        return err_set(err, ERR_INVALID,
                       "a geometric mean has no answer for a result of 0 or below");

    for (size_t i = 0; i <= fit->count; i++) {
        struct log_share part = log_share_at(fit, i);

        sum += part.share * part.log;
    }
    for (size_t i = 0; i <= fit->count; i++) {
        struct log_share part = log_share_at(fit, i);

        squares += part.share * (part.log - sum) * (part.log - sum);
    }

    *mean = (double)sum;
    *deviation = (double)sqrtl(squares);

    return true;
}

bool kaplan_meier_geometric_mean(struct arena *mem, const struct kaplan_meier *fit,
                                 const struct exact **out, struct err *err)
{
    double mean = 0;
    double deviation = 0;

    if (!kaplan_meier_logs(fit, &mean, &deviation, err))
        return false;
    *out = exact_from_double(mem, exp(mean));

    return true;
}

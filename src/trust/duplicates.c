#include "trust/duplicates.h"

#include <math.h>

#include "base/macro.h"

const char *const quality_answer_words[] = {"passed", "failed", "not assessed"};

enum { SHOWN_FIGURES = 3, LIMIT_FIGURES = 6 };

static const struct exact *absolute(struct arena *mem, const struct exact *value)
{
    return exact_sign(value) < 0 ? exact_sub(mem, exact_from_int(mem, 0), value) : value;
}

static const struct exact *times_of(struct arena *mem, struct decimal times,
                                    const struct exact *value)
{
    return exact_mul(mem, exact_from_decimal(mem, times), value);
}

static bool is_above(const struct exact *a, const struct exact *b)
{
    return exact_compare(a, b) > 0;
}

static struct quality_outcome outcome(enum quality_answer answer, const struct exact *percent,
                                      const char *words)
{
    return (struct quality_outcome){answer, percent, words};
}

static struct quality_outcome not_assessed(const char *words)
{
    return outcome(QUALITY_NOT_ASSESSED, NULL, words);
}

/* --- two results ----------------------------------------------------------------------------- */

const struct exact *duplicate_percent(struct arena *mem, const struct lab_result *a,
                                      const struct lab_result *b)
{
    if (a->less_than || b->less_than || a->more_than || b->more_than)
        return NULL;

    const struct exact *sum = absolute(mem, exact_add(mem, a->value, b->value));

    if (exact_sign(sum) == 0)
        return NULL;

    return exact_div(
        mem,
        exact_mul(mem, exact_from_int(mem, 200), absolute(mem, exact_sub(mem, a->value, b->value))),
        sum);
}

/* "more than the 20 % allowed" or "20 % is allowed". */
static const char *allowed_words(struct arena *mem, bool above, struct decimal most)
{
    const char *number = decimal_text(mem, most);

    return above ? arena_printf(mem, ", more than the %s %% allowed", number)
                 : arena_printf(mem, "; %s %% is allowed", number);
}

/* The difference as a share of the mean. */
static struct quality_outcome by_percent(struct arena *mem, struct decimal most,
                                         const struct exact *percent, bool fails)
{
    bool above = is_above(percent, exact_from_decimal(mem, most));

    return outcome(above && fails ? QUALITY_FAILED : QUALITY_PASSED, percent,
                   arena_printf(mem, "they differ by %s %% of their mean%s",
                                exact_text(mem, percent, SHOWN_FIGURES),
                                allowed_words(mem, above, most)));
}

static const char *limit_words(struct arena *mem, struct decimal times, const struct exact *limit)
{
    return arena_printf(mem, "%s times the quantitation limit of %s", decimal_text(mem, times),
                        exact_text(mem, limit, LIMIT_FIGURES));
}

/* By the difference alone, where a result lies too near to the limit for a percentage. */
static struct quality_outcome by_difference(struct arena *mem, struct decimal times,
                                            const struct exact *least, const struct exact *most,
                                            const struct exact *limit)
{
    const struct exact *bound = times_of(mem, times, limit);
    const char *of = limit_words(mem, times, limit);

    if (is_above(least, bound))
        return outcome(QUALITY_FAILED, NULL,
                       arena_printf(mem, "they differ by %s%s, more than %s",
                                    exact_compare(least, most) < 0 ? "at least " : "",
                                    exact_text(mem, least, LIMIT_FIGURES), of));
    if (!is_above(most, bound))
        return outcome(QUALITY_PASSED, NULL,
                       arena_printf(mem, "they differ by %s%s, not more than %s",
                                    exact_compare(least, most) < 0 ? "at most " : "",
                                    exact_text(mem, most, LIMIT_FIGURES), of));

    return not_assessed("one is a less-than, and they may differ by more or less than the rule");
}

static struct quality_outcome both_numbers(struct arena *mem, const struct duplicate_bounds *bounds,
                                           const struct lab_result *a, const struct lab_result *b,
                                           const struct exact *limit)
{
    const struct exact *percent = duplicate_percent(mem, a, b);
    const struct exact *difference = absolute(mem, exact_sub(mem, a->value, b->value));

    if (bounds->rule == DUPLICATE_PERCENT_FROM) {
        const struct exact *from = times_of(mem, bounds->times, limit);

        if (is_above(from, a->value) || is_above(from, b->value)) {
            if (bounds->has_below)
                return by_difference(mem, bounds->below_times, difference, difference, limit);
            return not_assessed(
                arena_printf(mem, "one is below %s", limit_words(mem, bounds->times, limit)));
        }
    }
    if (!percent)
        return not_assessed("their mean is 0, and there is nothing to be relative to");
    if (bounds->rule != DUPLICATE_AND)
        return by_percent(mem, bounds->percent, percent, true);

    bool far = is_above(difference, times_of(mem, bounds->times, limit));
    struct quality_outcome answer = by_percent(mem, bounds->percent, percent, far);

    answer.words = arena_printf(mem, "%s, and by %s, %smore than %s", answer.words,
                                exact_text(mem, difference, LIMIT_FIGURES), far ? "" : "not ",
                                limit_words(mem, bounds->times, limit));

    return answer;
}

/* Beside a less-than whatever it is: the nearest it can come is the limit itself. */
static struct quality_outcome less_than_by_percent(struct arena *mem, struct decimal most,
                                                   const struct lab_result *number,
                                                   const struct lab_result *less)
{
    if (!less->value || !is_above(number->value, less->value))
        return not_assessed("one is a less-than");

    const struct lab_result nearest = {.value = less->value};
    const struct exact *percent = duplicate_percent(mem, number, &nearest);

    if (!percent || !is_above(percent, exact_from_decimal(mem, most)))
        return not_assessed(
            "one is a less-than, and they may differ by more or less than the rule");

    return outcome(QUALITY_FAILED, NULL,
                   arena_printf(mem,
                                "one is a less-than, and whatever it is they differ by at least "
                                "%s %% of their mean%s",
                                exact_text(mem, percent, SHOWN_FIGURES),
                                allowed_words(mem, true, most)));
}

/* `number` beside a less-than. */
static struct quality_outcome one_less_than(struct arena *mem,
                                            const struct duplicate_bounds *bounds,
                                            const struct lab_result *number,
                                            const struct lab_result *less,
                                            const struct exact *limit)
{
    if (bounds->rule == DUPLICATE_AND) {
        bool far = is_above(number->value, times_of(mem, bounds->times, limit));

        return outcome(far ? QUALITY_FAILED : QUALITY_PASSED, NULL,
                       arena_printf(mem, "one is a less-than and the other %sabove %s",
                                    far ? "" : "not ", limit_words(mem, bounds->times, limit)));
    }
    if (bounds->rule == DUPLICATE_PERCENT)
        return less_than_by_percent(mem, bounds->percent, number, less);
    if (!bounds->has_below || !less->value)
        return not_assessed("one is a less-than");

    const struct exact *least = exact_sub(mem, number->value, less->value);

    return by_difference(mem, bounds->below_times,
                         exact_sign(least) < 0 ? exact_from_int(mem, 0) : least, number->value,
                         limit);
}

struct quality_outcome duplicate_judge(struct arena *mem, const struct duplicate_bounds *bounds,
                                       const struct lab_result *a, const struct lab_result *b,
                                       const struct exact *limit)
{
    if (a->more_than || b->more_than)
        return not_assessed("one is a more-than");
    if (a->less_than && b->less_than)
        return not_assessed("both are less-thans");
    if (bounds->rule != DUPLICATE_PERCENT && !limit)
        return not_assessed("no quantitation limit is known");
    if (a->less_than)
        return one_less_than(mem, bounds, b, a, limit);
    if (b->less_than)
        return one_less_than(mem, bounds, a, b, limit);

    return both_numbers(mem, bounds, a, b, limit);
}

/* --- several of one sample ------------------------------------------------------------------- */

struct quality_outcome replicates_judge(struct arena *mem, struct decimal percent,
                                        const struct lab_result *const *results, size_t count)
{
    const struct exact *mean = exact_from_int(mem, 0);
    const struct exact *squares = exact_from_int(mem, 0);

    if (count < 2)
        return not_assessed("there are fewer than two");
    for (size_t i = 0; i < count; i++) {
        if (results[i]->less_than || results[i]->more_than)
            return not_assessed("one is a less-than or a more-than");
        mean = exact_add(mem, mean, results[i]->value);
    }
    mean = exact_div(mem, mean, exact_from_int(mem, (int64_t)count));
    if (exact_sign(mean) == 0)
        return not_assessed("their mean is 0, and there is nothing to be relative to");
    for (size_t i = 0; i < count; i++) {
        const struct exact *off = exact_sub(mem, results[i]->value, mean);

        squares = exact_add(mem, squares, exact_mul(mem, off, off));
    }

    /* The squares are compared: they need no root, and are exact. */
    const struct exact *share =
        exact_div(mem, exact_div(mem, squares, exact_from_int(mem, (int64_t)count - 1)),
                  exact_mul(mem, mean, mean));
    const struct exact *most =
        exact_div(mem, exact_from_decimal(mem, percent), exact_from_int(mem, 100));
    bool above = is_above(share, exact_mul(mem, most, most));
    const struct exact *spread = exact_from_double(mem, 100.0 * sqrt(exact_double(share)));

    return outcome(above ? QUALITY_FAILED : QUALITY_PASSED, spread,
                   arena_printf(mem, "they spread by %s %% of their mean%s",
                                exact_text(mem, spread, SHOWN_FIGURES),
                                allowed_words(mem, above, percent)));
}

/* --- blanks ---------------------------------------------------------------------------------- */

struct bound_found {
    const struct exact *value; /* NULL: the laboratory told none */
    const char *words;
};

static struct bound_found blank_bound(struct arena *mem, const struct blank_bounds *bounds,
                                      const struct lab_result *blank, const struct exact *limit)
{
    const struct exact *quantitation = blank->quantitation ? blank->quantitation : limit;

    switch (bounds->kind) {
    case BLANK_AMOUNT:
        return (struct bound_found){exact_from_decimal(mem, bounds->amount), "the farm's own"};
    case BLANK_DETECTION:
        return (struct bound_found){blank->detection, "the detection limit of"};
    case BLANK_QUANTITATION:
        return (struct bound_found){quantitation, "the quantitation limit of"};
    case BLANK_HALF_QUANTITATION:
        return (struct bound_found){
            quantitation ? exact_div(mem, quantitation, exact_from_int(mem, 2)) : NULL,
            "half the quantitation limit,"};
    }

    return (struct bound_found){NULL, ""};
}

struct quality_outcome blank_judge(struct arena *mem, const struct blank_bounds *bounds,
                                   const struct lab_result *blank, const struct exact *limit)
{
    struct bound_found bound = blank_bound(mem, bounds, blank, limit);

    /* A less-than of no told limit is one of the laboratory's own. */
    if (blank->less_than && (!blank->value || !bound.value))
        return outcome(QUALITY_PASSED, NULL, "nothing was found in it");
    if (!bound.value)
        return not_assessed("the laboratory told no limit to hold it against");

    const char *of =
        arena_printf(mem, "%s %s", bound.words, exact_text(mem, bound.value, LIMIT_FIGURES));
    bool above = blank->more_than || is_above(blank->value, bound.value);

    if (!above)
        return outcome(QUALITY_PASSED, NULL, arena_printf(mem, "it is not above %s", of));
    if (blank->less_than)
        return not_assessed(arena_printf(mem, "it is a less-than of more than %s", of));

    return outcome(QUALITY_FAILED, NULL, arena_printf(mem, "it is above %s", of));
}

bool blank_touches(struct arena *mem, const struct lab_result *blank,
                   const struct lab_result *result, struct decimal times)
{
    return !blank->less_than && !result->less_than && !result->more_than &&
           is_above(times_of(mem, times, blank->value), result->value);
}

/* --- limits ---------------------------------------------------------------------------------- */

enum coarse_answer coarse_for_bound(struct arena *mem, const struct exact *limit,
                                    const struct exact *bound, bool is_floor,
                                    struct decimal share_percent)
{
    if (is_above(limit, bound))
        return is_floor ? COARSE_ABOVE_FLOOR : COARSE_ABOVE_BOUND;
    if (share_percent.coefficient > 0 && is_above(exact_mul(mem, limit, exact_from_int(mem, 100)),
                                                  times_of(mem, share_percent, bound)))
        return COARSE_ABOVE_SHARE;

    return COARSE_FINE;
}

/*
 * Limit refusal: what limit_refuse() goes by, a row a combination of choices that makes no sense.
 * Inside of limit_refuse*.c only.
 */
#ifndef JUDGE_LIMIT_REFUSAL_H
#define JUDGE_LIMIT_REFUSAL_H

#include "judge/limit.h"

/* What is known of a limit's parameter, beside the limit. */
struct limit_subject {
    const struct limit *limit;
    bool is_counter;
    bool is_state;
    bool is_ph;
};

struct limit_refusal {
    bool (*applies)(const struct limit_subject *subject);
    const char *why; /* for a farmer: lower case, no full stop */
};

struct limit_refusals {
    const struct limit_refusal *rows;
    size_t count;
};

/* In the order in which they are asked: the parameter and its bound first. */
extern const struct limit_refusals limit_refusals_of_bound;
extern const struct limit_refusals limit_refusals_of_figure;
extern const struct limit_refusals limit_refusals_of_less_thans;
extern const struct limit_refusals limit_refusals_of_period;
extern const struct limit_refusals limit_refusals_of_place;
extern const struct limit_refusals limit_refusals_of_data;

/* Statistics as a set: LIMIT_STATISTIC(STATISTIC_MEAN) | ... */
#define LIMIT_STATISTIC(statistic) (1U << (unsigned)(statistic))
static inline bool limit_statistic_in(const struct limit *limit, unsigned set)
{
    return (LIMIT_STATISTIC(limit->statistic) & set) != 0;
}

/* -1, 0 or 1. */
int limit_sign(struct decimal value);

/* Daily totals and loads. */
bool limit_adds_up(const struct limit *limit);

/* Whether values are averaged somewhere on the way. */
bool limit_averages(const struct limit *limit);

/* Whether it has a bound that is one number or two. */
bool limit_has_number(const struct limit *limit);

#endif

/*
 * Substitution: the number that stands for a less-than or a greater-than inside a figure. Which
 * one does is the licence's to say, and the choice flips verdicts; a row is one such rule.
 */
#ifndef STAT_SUBSTITUTE_H
#define STAT_SUBSTITUTE_H

#include <stdbool.h>

#include "stat/amount.h"

/* A result such as "<0.05" or ">2420", in the unit that the figure is worked out in. */
struct censored {
    struct amount limit;  /* 0.05; means nothing for a rule with needs_limit false */
    struct amount step;   /* one step of its last reported digit: 0.01 */
    struct amount stated; /* the number the licence states, for the rule that uses one */
    struct amount bound;  /* the limit's own bound, for a rule with needs_bound */
};

struct substitution {
    const char *word; /* "half" */
    bool needs_limit; /* a not-detected without a limit can't be put through it */
    bool needs_bound; /* and a clause without a bound of its own can't use it */
    struct amount (*of)(struct arena *mem, const struct censored *censored);
};

extern const struct substitution substitute_zero;     /* "zero" */
extern const struct substitution substitute_half;     /* "half" of the limit */
extern const struct substitution substitute_at_limit; /* "at the limit" */
extern const struct substitution substitute_stated;   /* "stated": a number of the licence */
extern const struct substitution substitute_step_up;  /* "step above": >2420 is 2421 */
/*
 * "step below": <9.0 is 8.9 and <17 is 16 (National Shellfish Sanitation Program guide, from
 * memory). <1 is 0, which a geometric mean then refuses.
 */
extern const struct substitution substitute_step_down;

/*
 * "lower of half and half the bound": half the detection limit, or half the licence's bound where
 * that is lower (Florida DEP instructions for discharge monitoring reports, from memory).
 */
extern const struct substitution substitute_lower_half;

#endif

/*
 * Bound finder: the bound of one reading by the others it is held against, bound_by.h. For the
 * files that give readings their bounds.
 */
#ifndef JUDGE_BOUND_FINDER_H
#define JUDGE_BOUND_FINDER_H

#include "judge/judgement.h"
#include "judge/partner.h"

/* One clause's bound while its readings get theirs. */
struct bound_finder {
    struct judgement *judgement;
    const struct limit_bound_by *by;
    struct partner_source sources[LIMIT_OTHERS_MOST];
};

/* The readings found for one use, in the order of the clause's others. */
struct bound_found {
    struct partner others[LIMIT_OTHERS_MOST];
    size_t count;
};

/* False: the bound goes by no other reading. */
bool bound_finder_of(struct judgement *judgement, struct bound_finder *out);

/* Why a reading can't be gone by, or NULL. */
const char *bound_finder_unusable(struct arena *mem, const struct limit_other *other,
                                  const struct partner *partner);

/* The bound of readings that can be gone by, one of each; NULL with the reason. */
const struct exact *bound_finder_value(struct bound_finder *finder, const struct bound_found *found,
                                       const char **why_not);

/* A bound with the number; without one, no side: nothing is beyond it, and the use is blocked. */
struct bound *bound_finder_bound(const struct judgement *judgement, const struct exact *value);

#endif

/*
 * Membrane count: colonies per volume from filters of one sample, some of which have too few or too
 * many to count well.
 *
 * The figure is the sum of the colonies times the volume it is told for, over the sum of the
 * volumes, of the filters that count (USGS National Field Manual, chapter A7.1; the handbook of
 * WHO and UNEP). A filter counts with colonies in the ideal range and not more than `all_most` of
 * all kinds together: 20 to 60 and 200 for faecal coliforms (Standard Methods 9222), 20 to 80 for
 * E. coli. Those numbers are the method's, so the caller gives them. What is done where no filter
 * counts differs between handbooks:
 *
 *   too few          the sum of all that can be counted, or the mean of their own figures; an
 *                    estimate. The same where some have too few and some too many
 *   no colony        less than one colony on the largest such volume (USEPA Microbiological Methods
 *                    for Monitoring the Environment, 1978, from memory)
 *   too many         where they can be told one by one and `all_most` holds, from the filter
 *                    nearest to the range, an estimate; else more than the top of the range on the
 *                    smallest such volume (the same, from memory)
 *
 * A filter that other colonies have overgrown says nothing.
 */
#ifndef STAT_MEMBRANE_COUNT_H
#define STAT_MEMBRANE_COUNT_H

#include <stddef.h>

#include "base/err.h"
#include "stat/amount.h"

enum { MEMBRANE_FILTERS_MOST = 100, MEMBRANE_COLONIES_MOST = 1000000 };

struct membrane_filter {
    struct amount volume_ml; /* filtered */
    int colonies;            /* of the kind that is looked for */
    int background;          /* others on the same filter; 0 where nobody counted */
    bool too_many;           /* too numerous to count: colonies and background mean nothing */
    int tested;              /* colonies that were verified, 0 for none ... */
    int verified;            /* ... and how many were the kind; the count is scaled by it */
};

enum membrane_none_in_range {
    MEMBRANE_SUM,  /* all colonies over all volumes */
    MEMBRANE_MEAN, /* the mean of each filter's own figure (USEPA practice for enterococci) */
};

struct membrane_rule {
    int ideal_least; /* 20 */
    int ideal_most;  /* 60 */
    int all_most;    /* 200: colonies of all kinds on one filter; 0: no such rule */
    enum membrane_none_in_range none_in_range;
    struct amount per_ml; /* 100 */
};

enum membrane_kind { MEMBRANE_NUMBER, MEMBRANE_LESS, MEMBRANE_GREATER };

struct membrane_count {
    enum membrane_kind kind;
    bool estimated; /* no filter was in the range */
    const struct exact *number;
    const struct exact *reported; /* whole below 10, else two significant figures (USGS A7.1) */
    bool *used;                   /* one a filter: it went into the figure */
    const char *words;            /* how it came about, for people */
};

/*
 * ERR_INVALID: no filter, a volume of 0 or below, a count out of range, a range without sense; all
 * filters overgrown by other colonies: the text says so.
 */
MUST_CHECK bool membrane_count(struct arena *mem, const struct membrane_filter *filters,
                               size_t count, const struct membrane_rule *rule,
                               struct membrane_count *out, struct err *err);

#endif

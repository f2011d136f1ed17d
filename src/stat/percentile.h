/*
 * Percentile: the value that a share p of the values does not pass. There are many definitions,
 * they differ most where values are few, and the difference turns verdicts; a licence has to say
 * which one it means.
 *
 * The nine of Hyndman and Fan, "Sample Quantiles in Statistical Packages", The American
 * Statistician 50 (1996) 361-365, as "type 1" to "type 9", and five of them again by the names
 * that licences use. Of n values in order, x(1) to x(n), each takes the one at a rank:
 *
 *   type 1, nearest rank   n p, rounded up                      picks a value
 *   type 2                 the same; where n p is whole, the mean of that and the next
 *   type 3                 n p, to the nearest whole, a half to the even one    picks a value
 *   type 4                 n p                                  straight line between two
 *   type 5, Hazen          n p + 1/2                            straight line
 *   type 6, Weibull        (n + 1) p                            straight line
 *   type 7, inclusive      (n - 1) p + 1                        straight line
 *   type 8                 (n + 1/3) p + 1/3                    straight line
 *   type 9, Blom           (n + 1/4) p + 3/8                    straight line
 *
 * A rank below 1 gives x(1), one above n gives x(n). Everything is exact.
 */
#ifndef STAT_PERCENTILE_H
#define STAT_PERCENTILE_H

#include "stat/statistic.h"

struct percentile_ratio {
    int over;
    int under;
};

struct percentile_definition {
    const char *word; /* "Hazen" */
    const char *rank; /* for people: "n p + 1/2" */
    bool picks;       /* the result is always one of the values, so that a less-than may stay one */

    /* The rank is (n + more) p + plus. */
    struct percentile_ratio more;
    struct percentile_ratio plus;

    const struct exact *(*at_rank)(struct arena *mem, const struct amount *sorted, size_t count,
                                   const struct exact *rank);
};

/* By position: NULL at the end of the table. */
const struct percentile_definition *percentile_definition_at(size_t position);

/* NULL when there is none of that word. */
const struct percentile_definition *percentile_definition_find(const char *word);

/* Of values in ascending order; count at least 1, p from 0 to 1. */
const struct exact *percentile_of_sorted(struct arena *mem,
                                         const struct percentile_definition *definition,
                                         const struct amount *sorted, size_t count,
                                         const struct exact *p);

/*
 * With so few values the percentile is no more than the highest (or the lowest) of them: its rank
 * lies outside 1 to n; for a definition that picks, the one picked is an end. True for one value.
 */
bool percentile_is_end_value(struct arena *mem, const struct percentile_definition *definition,
                             const struct exact *p, size_t count);

/*
 * The smallest count for which it is not: 19 for Weibull and 10 for Hazen at 0.95. 0 where there
 * is none up to PERCENTILE_COUNT_MOST (a p of 0 or 1).
 */
enum { PERCENTILE_COUNT_MOST = 2000 };
size_t percentile_least_count(const struct percentile_definition *definition,
                              const struct exact *p);

/*
 * "percentile": input->p by input->definition. More data may raise or lower it. ERR_INVALID: one
 * of the two is missing, or p lies outside 0 to 1.
 */
extern const struct statistic stat_percentile;

#endif

/*
 * Bound: what a figure may be, held against the ceiling and the floor of a limit.
 *
 * A figure is one number or, because of less-thans and greater-thans, a range: `<5` is
 * everything below 5. An end that the range does not reach itself is open. So `<X` keeps a
 * ceiling of X whether reaching it is outside or not, and `>X` is above it in both cases.
 */
#ifndef JUDGE_BOUND_H
#define JUDGE_BOUND_H

#include "judge/limit.h"
#include "judge/verdict.h"
#include "stat/amount.h"

/* One end of what a figure may be. */
struct end {
    bool known; /* false: without end on this side */
    bool open;  /* everything up to `at`, without it */
    struct amount at;
};

struct range {
    struct end low;
    struct end high;
};

struct range range_of_amount(struct amount value);

enum fit { FIT_WITHIN, FIT_ABOVE, FIT_BELOW, FIT_UNKNOWN };

/* The limit's bound, ready to be compared with. */
struct bound {
    bool has_ceiling;
    bool ceiling_reached_is_outside;
    struct amount ceiling;
    bool has_floor;
    bool floor_reached_is_outside;
    struct amount floor;
    struct rounding rounding;
};

struct bound bound_of_limit(const struct limit *limit);

/*
 * FIT_ABOVE and FIT_BELOW when all of the range is beyond, FIT_WITHIN when none of it is. Ends
 * that are not open are rounded by the limit's rule first; X of `<X` is compared as it was
 * reported.
 */
enum fit bound_fit(struct arena *mem, const struct bound *bound, const struct range *range);

/* How far a value is past the nearer bound: below 0 inside it. For finding the worst. */
struct amount bound_excess(struct arena *mem, const struct bound *bound, struct amount value,
                           enum side *side);

/*
 * "30" as the licence writes its digits, without the unit: the bound of that side. Of a state the
 * word that keeps it; "its bound" where that goes by other readings.
 */
char *bound_text(struct arena *mem, const struct limit *limit, enum side side);

/* "above 30", "at or below 5.0", "seen": how a figure beyond it is called. */
char *bound_side_words(struct arena *mem, const struct limit *limit, enum side side);

/* The same with the number of a bound of its own. */
char *bound_beyond_words(struct arena *mem, const struct limit *limit, enum side side,
                         const char *text);

/* Whether a compared figure that is within lies inside the farm's own margin of a bound. */
bool bound_near(struct arena *mem, const struct limit *limit, const struct bound *bound,
                struct amount compared);

#endif

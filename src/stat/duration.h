/*
 * Duration: how long a measured series lay outside a range, for limits that allow some time
 * outside ("not more than 446 minutes in a month, no single excursion over 60 minutes": the shape
 * of 40 CFR 401.17).
 *
 * What was between two readings is a rule, and the rule moves the figure: four readings outside,
 * 15 minutes apart, are 45 to 75 minutes. A step longer than `gap_us` is a gap: nothing is known
 * of it, it is not inside and not outside, and it ends a run. So are the stretches of the period
 * before the first reading and after the last: give the reading before the period and the one
 * after it as well, where there are any.
 */
#ifndef STAT_DURATION_H
#define STAT_DURATION_H

#include "stat/timed_value.h"

enum between_readings {
    BETWEEN_TO_NEXT,       /* a reading stands until the next one */
    BETWEEN_HALF_WAY,      /* from half-way to the one before to half-way to the one after */
    BETWEEN_STRAIGHT_LINE, /* straight lines between readings; crossings are worked out exactly */
};

/* Words in the order of the enum: "to the next reading", "half-way", "straight line". */
extern const char *const between_readings_words[3];

struct duration_input {
    const struct timed_value *readings; /* in the order of time */
    size_t count;
    enum between_readings between;
    int64_t gap_us; /* a longer step is a gap; at least 1 */

    bool has_ceiling;
    struct amount ceiling;
    bool ceiling_reached_is_outside;
    bool has_floor;
    struct amount floor;
    bool floor_reached_is_outside;

    int64_t from_us; /* the period: from this instant until before that one */
    int64_t until_us;
};

/*
 * One unbroken time outside. It may begin before the period or end after it, as far as there are
 * readings: `whole_us` is its full length, `within_us` what lies in the period.
 */
struct duration_run {
    const struct exact *from_us; /* of the whole run; may be a part of a microsecond */
    const struct exact *until_us;
    const struct exact *whole_us;
    const struct exact *within_us;
    bool above;         /* some of it was above the ceiling */
    bool below;         /* some of it was below the floor */
    bool cut_at_from;   /* it reaches the period's beginning: within_us is not all of it, or */
    bool cut_at_until;  /* may not be; the same for its end */
    bool begins_at_gap; /* what was before it is not known, so it may have been longer: a gap, */
    bool ends_at_gap;   /* or the end of the readings; the same after it */
};

/* A stretch of the period of which nothing is known. */
struct duration_gap {
    int64_t from_us;
    int64_t until_us;
    bool at_edge; /* before the first reading or after the last */
};

struct duration {
    const struct exact *outside_us;       /* in the period */
    const struct exact *longest_us;       /* run, by within_us; 0 without any */
    const struct exact *longest_whole_us; /* run that touches the period, by whole_us */
    struct duration_run *runs;            /* that have a part in the period, in order */
    size_t run_count;
    struct duration_gap *gaps; /* in order */
    size_t gap_count;
    int64_t gap_total_us;
    int64_t covered_us;      /* covered and gaps together are the period */
    size_t readings_inside;  /* readings in the period: inside the range */
    size_t readings_outside; /* and outside; one between two gaps has no length, so look here too */
};

/* ERR_BUG: not in order, a gap below 1, a period that ends before it begins, no bound. */
MUST_CHECK bool duration_outside(struct arena *mem, const struct duration_input *input,
                                 struct duration *out, struct err *err);

#endif

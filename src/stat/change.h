/*
 * Change: how far a measured series moved in a time. "Not more than 2 degrees in 1 hour" can be
 * read two ways, and they differ: the change between any two readings at most an hour apart, or the
 * rate between two neighbouring readings. 15.0 at 10:00 and 16.4 at 10:40 changed by 1.4 within the
 * hour, at a rate of 2.1 an hour.
 */
#ifndef STAT_CHANGE_H
#define STAT_CHANGE_H

#include "stat/timed_value.h"

enum change_way { CHANGE_WAY_RISE, CHANGE_WAY_FALL, CHANGE_WAY_EITHER };

/* Words in the order of the enum: "rise", "fall", "either". */
extern const char *const change_way_words[3];

/* `size` is never below 0; where nothing moved that way it is 0 and `first` is `second`. */
struct change {
    const struct exact *size;
    size_t first; /* the two readings, by position; the earliest such two */
    size_t second;
    bool fell; /* the size is of a fall */
};

/*
 * Of any two readings at most `span_us` apart (that far apart counts). ERR_INVALID: no two are.
 * ERR_BUG: not in the order of time, or a span below 1.
 */
MUST_CHECK bool change_within_span(struct arena *mem, const struct timed_value *readings,
                                   size_t count, int64_t span_us, enum change_way way,
                                   struct change *out, struct err *err);

/* The same of changes that end at `since_us` or later: those of a day, with what they began at. */
MUST_CHECK bool change_within_span_since(struct arena *mem, const struct timed_value *readings,
                                         size_t count, int64_t span_us, enum change_way way,
                                         int64_t since_us, struct change *out, struct err *err);

/*
 * Between neighbouring readings: change a time of `per_us`. Steps longer than `longest_step_us`
 * are left out (0: none is). ERR_INVALID: there is no step left, or two readings of one instant
 * differ. ERR_BUG as above.
 */
MUST_CHECK bool change_rate(struct arena *mem, const struct timed_value *readings, size_t count,
                            int64_t per_us, int64_t longest_step_us, enum change_way way,
                            struct change *out, struct err *err);

#endif

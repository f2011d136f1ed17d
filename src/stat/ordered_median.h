/*
 * Ordered median: the middle result where some were not detected and some were detected below the
 * level at which they can be measured. Those have ranks but no numbers: not detected stands below
 * detected, and that below every number. Of an even count it is the mean of the two in the middle,
 * unless one of them is no number: then the lower of the two (California Regional Water Quality
 * Control Board, San Francisco Bay Region, order R2-2012-0012, page 19).
 */
#ifndef STAT_ORDERED_MEDIAN_H
#define STAT_ORDERED_MEDIAN_H

#include <stddef.h>

#include "base/err.h"
#include "stat/amount.h"

enum detection {
    DETECTION_NONE,    /* not detected */
    DETECTION_BETWEEN, /* detected, not quantified */
    DETECTION_NUMBER,
};

/* Words in the order of the enum: "not detected", "detected, not quantified", "number". */
extern const char *const detection_words[3];

struct ordered_result {
    enum detection detection;
    struct amount value; /* the number; X of "<X"; the estimate. Orders equals among themselves */
};

struct ordered_median {
    enum detection detection; /* of the result */
    const struct exact *value;
    bool lower_of_two; /* an even count, and one in the middle was no number */
};

/* ERR_INVALID: there is no result. */
MUST_CHECK bool ordered_median(struct arena *mem, const struct ordered_result *results,
                               size_t count, struct ordered_median *out, struct err *err);

#endif

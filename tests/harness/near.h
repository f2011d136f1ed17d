/*
 * A figure close to the one that a publication prints.
 */
#ifndef HARNESS_NEAR_H
#define HARNESS_NEAR_H

#include <math.h>

#include "harness/cmocka.h"

/* Within `tolerance` of the figure of `source`; NaN is near to nothing. */
#define assert_near(actual, expected, tolerance, source)                                           \
    do {                                                                                           \
        const double near_actual_ = (actual);                                                      \
        const double near_expected_ = (expected);                                                  \
                                                                                                   \
        if (!(fabs(near_actual_ - near_expected_) <= (tolerance)))                                 \
            fail_msg("%s is %.12g, and %.12g +/- %.3g by %s", #actual, near_actual_,               \
                     near_expected_, (double)(tolerance), source);                                 \
    } while (0)

#endif

/*
 * Head range: the heads between which a weir's or flume's equation was published to hold.
 *
 * Head is the height of the water upstream above the crest, the notch's point or the flume's
 * floor, in metres. The edges are inside: the printed tables begin and end there, and a head that
 * was written down in feet loses nothing on the way to metres (one part in 10^9 is allowed).
 */
#ifndef MEASURE_HEAD_RANGE_H
#define MEASURE_HEAD_RANGE_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

#define HEAD_M_PER_FT 0.3048 /* exact: NIST SP 811 (2008) */

struct head_range {
    double lowest_m;
    double highest_m;
    const char *why; /* what sets it, with its source: lower case, no full stop */
};

bool head_range_holds(const struct head_range *range, double head_m);

/* ERR_INVALID outside: `what` is the equation's word. */
MUST_CHECK bool head_range_require(const struct head_range *range, const char *what, double head_m,
                                   struct err *err);

#endif

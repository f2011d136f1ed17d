/*
 * Flume: the free flow through a Parshall flume of 1 in to 8 ft from the head in it.
 *
 * Two families of rows, both Q = C h^n: the English one (ft, ft3/s; 1 to 8 ft by
 * 4 W H^(1.522 W^0.026)) and the SI one (m, m3/s). They agree within 0.8 %; the record names which.
 * Coefficients and head ranges: ISO 9826 and ASTM D1941 standardise the flume; the numbers are
 * those of Parshall (1936) and of Bos, Discharge Measurement Structures (1989), from memory.
 * Heads are in metres, flows in m3/s in both.
 *
 * Free flow only: with the water downstream too high the figure is wrong, and says so.
 */
#ifndef MEASURE_FLUME_H
#define MEASURE_FLUME_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"
#include "measure/head_range.h"

enum flume_size {
    FLUME_1_IN,
    FLUME_2_IN,
    FLUME_3_IN,
    FLUME_6_IN,
    FLUME_9_IN,
    FLUME_1_FT,
    FLUME_18_IN,
    FLUME_2_FT,
    FLUME_3_FT,
    FLUME_4_FT,
    FLUME_5_FT,
    FLUME_6_FT,
    FLUME_7_FT,
    FLUME_8_FT,
    FLUME_SIZE_COUNT,
};

enum flume_family { FLUME_ENGLISH, FLUME_SI };

struct flume_power {
    double coefficient;
    double exponent;
};

struct flume_row {
    const char *word;           /* "6 in", "2 ft": the throat */
    double throat_m;            /* as its SI row means it: 0.1524, 0.6096 */
    struct flume_power si;      /* m, m3/s */
    struct flume_power english; /* ft, ft3/s; zeros for 1 to 8 ft, whose formula gives it */
    struct head_range range;
    double submergence; /* share of the upstream head at which free flow ends */
};

const struct flume_row *flume_row(enum flume_size size);

/* C and n of Q = C h^n, in the family's own units. */
struct flume_power flume_power(enum flume_size size, enum flume_family family);

/* By its throat, "6 in" or "2 ft". ERR_NOT_FOUND: no such size. */
MUST_CHECK bool flume_size_named(const char *word, enum flume_size *out, struct err *err);

/* ERR_INVALID: a head outside the flume's range. */
MUST_CHECK bool flume_flow(enum flume_size size, enum flume_family family, double head_m,
                           double *m3_per_s, struct err *err);

/* The figure whatever the range, for a caller that flags it; ERR_INVALID: a negative head. */
MUST_CHECK bool flume_flow_flagged(enum flume_size size, enum flume_family family, double head_m,
                                   double *m3_per_s, bool *inside, struct err *err);

/* The head for a flow. ERR_INVALID: a flow outside what the flume's range of heads gives. */
MUST_CHECK bool flume_head_for_flow(enum flume_size size, enum flume_family family, double m3_per_s,
                                    double *head_m, struct err *err);

/*
 * Whether the water downstream stands too high for free flow: downstream over upstream head above
 * the size's transition. That is 50 % for 1 to 3 in, 66 % for 2 ft (Utah State University,
 * "Flumes for Open-Channel Flow Measurement", 2005); between them, where tables differ, the lower
 * figure (from memory), so that the flag comes early.
 *
 * ERR_INVALID: an upstream head not above 0, or a downstream head that is no number. A downstream
 * head below the floor is 0.
 */
MUST_CHECK bool flume_is_submerged(enum flume_size size, double upstream_m, double downstream_m,
                                   bool *out, struct err *err);

#endif

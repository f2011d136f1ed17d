/*
 * Weir: the flow over a thin-plate weir from the head on it, by a named published equation.
 *
 * The equations differ by up to 3 % on the same notch, so whoever stores a flow stores the
 * equation's word too. Heads are in metres and flows in m3/s whatever units the equation was
 * published in; feet become metres exactly (0.3048 m).
 *
 * The equations, with H, L, P in ft and Q in ft3/s, or h, b, p in m and Q in m3/s:
 *
 *     v-notch-kindsvater-shen  4.28 Ce tan(angle/2) (H + kh)^2.5, 25 to 100 degrees, 4.28 being
 *                              8/15 sqrt(2 x 32.174) rounded; USBR, Water Measurement Manual,
 *                              ch. 7 s. 7 eq. 7-3. At 90 degrees Ce 0.578, kh 0.0029 ft; at other
 *                              angles the curve fits of weir_notch_fit(), or the farm's own.
 *     v-notch-iso-1438         Ce 8/15 sqrt(2g) tan(angle/2) (h + kh)^2.5; at 90 degrees Ce 0.578,
 *                              kh 0.85 mm, g 9.80665; other angles need Ce and kh stated
 *                              (ISO 1438, from memory)
 *     v-notch-90-cone          2.49 H^2.48; USBR, Water Measurement Manual, ch. 7
 *     v-notch-60-table         1.443 H^2.5, behind printed discharge tables that cite
 *     v-notch-45-table         1.035 H^2.5  ASTM D5242-92 (2001)
 *     rectangular-contracted   3.33 (L - 0.2 H) H^1.5 (Francis, from memory)
 *     rectangular-suppressed   3.33 L H^1.5 (Francis, from memory)
 *     rectangular-crest-height (3.27 + 0.40 H/P) (L - 0.2 H) H^1.5, of a city stormwater design
 *                              manual of 2014
 *     rectangular-iso-1438     full width: (0.602 + 0.075 h/p) 2/3 sqrt(2g) (b - 0.0009)
 *                              (h + 0.001)^1.5 (ISO 1438, from memory)
 *     cipolletti               3.367 L H^1.5 (from memory)
 */
#ifndef MEASURE_WEIR_H
#define MEASURE_WEIR_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"
#include "measure/head_range.h"

enum weir_equation {
    WEIR_V_KINDSVATER_SHEN,
    WEIR_V_ISO_1438,
    WEIR_V_90_CONE,
    WEIR_V_60_TABLE,
    WEIR_V_45_TABLE,
    WEIR_RECTANGULAR_CONTRACTED,
    WEIR_RECTANGULAR_SUPPRESSED,
    WEIR_RECTANGULAR_CREST_HEIGHT,
    WEIR_RECTANGULAR_ISO_1438,
    WEIR_CIPOLLETTI,
    WEIR_EQUATION_COUNT,
};

/* What an equation needs beside the head, or-ed. */
enum weir_needs {
    WEIR_NEEDS_ANGLE = 1,        /* angle_deg */
    WEIR_NEEDS_CREST = 2,        /* crest_m */
    WEIR_NEEDS_CREST_HEIGHT = 4, /* crest_height_m */
};

/* One published equation. */
struct weir_row {
    const char *word;    /* "v-notch-90-cone": stored with every flow */
    const char *formula; /* in its own units, as a person reads it */
    const char *source;  /* the publication; where it was not at hand unseen.h says so */
    unsigned needs;      /* enum weir_needs */
    double angle_deg;    /* of an equation for one angle only; 0 otherwise */
};

const struct weir_row *weir_row(enum weir_equation equation);

/* ERR_NOT_FOUND: no equation has this word. */
MUST_CHECK bool weir_equation_named(const char *word, enum weir_equation *out, struct err *err);

/* A weir as built. What its equation does not need is not looked at. */
struct weir {
    enum weir_equation equation;
    double angle_deg;      /* the notch's full angle */
    double crest_m;        /* length of the crest across the flow */
    double crest_height_m; /* of the crest above the channel's floor */
    double coefficient;    /* Ce of the two V-notch forms: 0 for the equation's own ... */
    double head_extra_m;   /* ... and then this is not looked at either; else kh */
};

/*
 * Ce and kh of a fully contracted V-notch of 25 to 100 degrees: curve fits to the Kindsvater-Shen
 * curves (LMNO Engineering, from memory; 0.5779 and 0.885 mm at 90 degrees).
 *
 * ERR_INVALID: an angle outside 25 to 100 degrees.
 */
MUST_CHECK bool weir_notch_fit(double angle_deg, double *coefficient, double *head_extra_m,
                               struct err *err);

/*
 * The heads for which this weir's equation holds. V-notches by USBR, 0.2 to 1.25 ft (the notch's
 * point at least 0.2 ft above the water downstream, which no head can show); ISO 1438 0.06 to
 * 0.381 m (from memory); Francis, crest height and Cipolletti from 0.2 ft to a third of the crest
 * (USBR, from memory); ISO full width from 0.03 m to 2.5 times the crest's height, with b at least
 * 0.15 m and p at least 0.10 m (from memory).
 *
 * ERR_INVALID: an angle, crest or crest height that the equation cannot take.
 */
MUST_CHECK bool weir_head_range(const struct weir *weir, struct head_range *out, struct err *err);

/* ERR_INVALID: as weir_head_range(), or a head outside that range. */
MUST_CHECK bool weir_flow(const struct weir *weir, double head_m, double *m3_per_s,
                          struct err *err);

/*
 * The equation's figure whatever its range, for a caller that flags it: `inside` says whether the
 * head was. A head of 0 gives 0.
 *
 * ERR_INVALID: as weir_head_range(), or a head that is negative or no number.
 */
MUST_CHECK bool weir_flow_flagged(const struct weir *weir, double head_m, double *m3_per_s,
                                  bool *inside, struct err *err);

/* The head for a flow. ERR_INVALID: no head inside the equation's range gives this flow. */
MUST_CHECK bool weir_head_for_flow(const struct weir *weir, double m3_per_s, double *head_m,
                                   struct err *err);

#endif

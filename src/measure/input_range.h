/*
 * Input range: refusing a bare number that a formula cannot take, in words a person can act on.
 *
 * For what no tank or channel can have, such as a negative flow; the range that an equation was
 * published for is measure/valid_range.h's. Every check fails with ERR_INVALID and names the
 * input, its value, its unit and what it may be. NaN and infinities are outside every range. The
 * edges are inside.
 */
#ifndef MEASURE_INPUT_RANGE_H
#define MEASURE_INPUT_RANGE_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

/* low <= value <= high */
MUST_CHECK bool input_within(const char *name, double value, double low, double high,
                             const char *unit, struct err *err);

/* value > 0 */
MUST_CHECK bool input_positive(const char *name, double value, const char *unit, struct err *err);

/* value >= 0 */
MUST_CHECK bool input_not_negative(const char *name, double value, const char *unit,
                                   struct err *err);

/* Any number, but a number. */
MUST_CHECK bool input_finite(const char *name, double value, const char *unit, struct err *err);

#endif

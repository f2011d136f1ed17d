/*
 * The range an equation was made for. A figure is never worked out beyond it: whoever asks is
 * told which input is outside, what it was, and what it may be.
 */
#ifndef MEASURE_VALID_RANGE_H
#define MEASURE_VALID_RANGE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

/* One input of an equation. Both ends belong to the range, and 1e-9 of them beyond. */
struct valid_range {
    const char *input; /* "temperature": for messages */
    const char *unit;  /* "degC", or "" for a pure number */
    double value;
    double least;
    double most; /* INFINITY for none */
};

/*
 * Whether all are inside. `equation` is its name for people: "the practical salinity scale".
 *
 * ERR_INVALID: "the temperature is 41 degC, and the practical salinity scale holds from -2 to
 *              35 degC"; or an input that is not a number.
 */
MUST_CHECK bool valid_range_hold(const char *equation, const struct valid_range *inputs,
                                 size_t count, struct err *err);

#endif

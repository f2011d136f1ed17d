/*
 * Temperature rise: the difference of two temperatures. A rise never goes through a unit with an
 * offset: 10.5 degF more is 5.8333 degC more, though 10.5 degF is -11.9 degC.
 *
 * "degC rise" and "degF rise" are units of their own, which convert into one another by
 * unit_convert() and never into degC or degF. A parameter that is a rise is kept in one of them;
 * where it is, files may write degC and degF.
 */
#ifndef MEASURE_TEMPERATURE_RISE_H
#define MEASURE_TEMPERATURE_RISE_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/exact.h"
#include "base/macro.h"
#include "measure/unit.h"

/* A temperature in degC, degF or K; or a rise, in one of these or in degC rise or degF rise. */
struct temperature {
    const struct exact *value;
    const struct unit *unit;
};

/*
 * `after` less `before`, as a rise in `unit`; negative for a fall. Exact.
 *
 * ERR_INVALID: a unit that is not one of temperature.
 */
MUST_CHECK bool temperature_rise(const struct units *units, struct arena *mem,
                                 struct temperature before, struct temperature after,
                                 const struct unit *unit, const struct exact **out,
                                 struct err *err);

/* A rise told in one unit, in another: 10.5 degF is 35/6 degC. ERR_INVALID as above. */
MUST_CHECK bool temperature_rise_convert(struct arena *mem, struct temperature rise,
                                         const struct unit *unit, const struct exact **out,
                                         struct err *err);

#endif

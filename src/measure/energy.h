/*
 * Energy: hours that a pump ran and what it used, by its meter or by rated power times hours.
 *
 * By rated power is an estimate: a pump rarely draws exactly what its plate says. The caller says
 * which it was. A running meter's differences are measure/counter.h's.
 *
 * Every function: ERR_INVALID names the input, its value and what it may be.
 */
#ifndef MEASURE_ENERGY_H
#define MEASURE_ENERGY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

enum energy_source { ENERGY_BY_METER, ENERGY_BY_RATED_POWER };

/* "by meter", "by rated power". */
const char *energy_source_name(enum energy_source source);

/* kWh = rated power x hours: 1.5 kW over 24 h is 36 kWh. */
MUST_CHECK bool energy_by_rated_power(double rated_kw, double hours, double *kwh, struct err *err);

/* For each thousand animals. ERR_INVALID also: no animals. */
MUST_CHECK bool energy_per_thousand(double kwh, double animals, double *out, struct err *err);

/* Mean flow of a pump that runs for a share of the time, 0 to 1: half the time is half the flow. */
MUST_CHECK bool energy_mean_flow(double running_flow, double share_on, double *out,
                                 struct err *err);

/* One record of a pump's state. */
struct energy_state {
    instant at;
    bool on;
};

struct energy_hours {
    double on_h;
    double off_h;
    double unknown_h; /* before the first record, or after the longest silence ran out */
};

/*
 * How a span from <= t < to was spent. States in order of time, and may begin before the span; each
 * holds until the next, but no longer than longest_silence_s.
 *
 * ERR_INVALID: a span that ends before it begins, states out of order, a silence not above 0.
 */
MUST_CHECK bool energy_hours_run(const struct energy_state *states, size_t count, instant from,
                                 instant to, double longest_silence_s, struct energy_hours *out,
                                 struct err *err);

#endif

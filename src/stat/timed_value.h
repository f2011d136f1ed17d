/*
 * Timed value: a reading with its instant, for what goes by the time between readings.
 */
#ifndef STAT_TIMED_VALUE_H
#define STAT_TIMED_VALUE_H

#include <stddef.h>
#include <stdint.h>

#include "base/err.h"
#include "stat/amount.h"

struct timed_value {
    int64_t at_us; /* microseconds, UTC */
    struct amount value;
};

/* ERR_BUG when an instant is earlier than the one before it; equal ones are allowed. */
MUST_CHECK bool timed_check(const struct timed_value *readings, size_t count, struct err *err);

#endif

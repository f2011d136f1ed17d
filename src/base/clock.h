/*
 * Clock: the only place where the machine's clock is read.
 *
 * For tests and demos that must come out the same every time, the environment variable
 * WEIRBOOK_NOW holds an RFC 3339 instant ("2026-05-01T09:00:00Z") at which the clock then
 * stands still. It is not for use on a farm: what is recorded under it carries that time.
 */
#ifndef BASE_CLOCK_H
#define BASE_CLOCK_H

#include <stdbool.h>

#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

/* The present, or WEIRBOOK_NOW where it is set to an instant. */
instant clock_now(void);

/* Seconds that only go forward, from no particular start; WEIRBOOK_NOW does not hold them. */
double clock_steady_s(void);

/*
 * Whether WEIRBOOK_NOW is unset or an instant; for main() to ask before anything else, since
 * clock_now() takes the machine's clock when it can't be read. ERR_INVALID.
 */
MUST_CHECK bool clock_check(struct err *err);

#endif

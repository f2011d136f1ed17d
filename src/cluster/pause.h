/*
 * Pause: wait in short steps for something, but not for ever. Counts elapsed time, so a machine's
 * clock that is set meanwhile changes nothing.
 *
 *     struct pause pause = pause_begin(30);
 *
 *     while (!done()) {
 *         if (!pause_once(&pause))
 *             return err_set(...);
 *     }
 */
#ifndef CLUSTER_PAUSE_H
#define CLUSTER_PAUSE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/macro.h"

struct pause {
    int64_t until_ms;
};

struct pause pause_begin(int most_seconds);

/* Sleep ten milliseconds; false at once when the time is up. */
MUST_CHECK bool pause_once(const struct pause *pause);

#endif

/*
 * Times, days and months as a person types them, in the farm's own time.
 */
#ifndef CLI_WHEN_H
#define CLI_WHEN_H

#include "base/zone.h"

/*
 * "2026-03-17 09:30" in the zone, or RFC 3339 with Z or an offset. ERR_INVALID: no time, an hour
 * that did not exist, or one that came twice (the hint shows both with their offsets).
 */
MUST_CHECK bool when_instant(struct arena *mem, const struct zone *zone, const char *text,
                             instant *out, struct err *err);

/* Whether it is written in one of these two ways, be there such a time or not. */
bool when_is_written(const char *text);

#endif

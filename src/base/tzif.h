/*
 * TZif: the compiled time zone files of the tz database (RFC 8536), versions 2 and later.
 */
#ifndef BASE_TZIF_H
#define BASE_TZIF_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "base/tz_rule.h"

/* From at[i] on, clocks show clocks[clock_of[i]]; before at[0], clocks[0]. */
struct tzif {
    size_t count;
    int64_t *at; /* seconds since 1970 UTC, rising */
    uint8_t *clock_of;
    size_t clock_count; /* 1..256 */
    struct tz_clock *clocks;
    const char *rule; /* the last line: what holds after the last change; may be empty */
};

/*
 * Read a file's bytes. ERR_INVALID: not a TZif file, cut short, of version 1, or one that counts
 * leap seconds.
 */
MUST_CHECK bool tzif_parse(struct arena *mem, const void *bytes, size_t size, struct tzif *out,
                           struct err *err);

#endif

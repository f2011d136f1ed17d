/*
 * The tz database as installed on this machine: its folder, release and zone names.
 */
#ifndef BASE_ZONE_NAMES_H
#define BASE_ZONE_NAMES_H

#include <stddef.h>

#include "base/arena.h"

#define ZONE_FOLDER "/usr/share/zoneinfo"

struct zone_names {
    const char **items;
    size_t count;
    size_t capacity;
};

/* Every name the database lists; empty when its lists are not installed. */
struct zone_names zone_names_all(struct arena *mem);

/*
 * The name somebody who wrote `wrong` most likely meant ("Pacific/Aukland", "Auckland",
 * "New York"), or NULL.
 */
const char *zone_names_nearest(struct arena *mem, const char *wrong);

/* "2025b", or "unknown". */
const char *zone_names_release(struct arena *mem);

#endif

/*
 * Time zones: civil time to instants and back, from the system's TZif files
 * (RFC 8536). Never touches TZ, localtime() or a session's time zone.
 */
#ifndef BASE_ZONE_H
#define BASE_ZONE_H

#include "base/instant.h"

struct zone;

/*
 * Load a zone by its tz database name ("Pacific/Auckland"), or "UTC". The zone lives in mem.
 *
 * ERR_INVALID: no such name (the hint has the nearest one that exists) or not a TZif file.
 * ERR_UNAVAILABLE: the machine has no time zone files.
 */
MUST_CHECK bool zone_load(struct arena *mem, const char *name, const struct zone **out,
                          struct err *err);

/* A zone that is always `offset_s` seconds ahead of UTC. */
const struct zone *zone_fixed(struct arena *mem, int offset_s);

const char *zone_name(const struct zone *zone);

/* Release of the tz database the zone was read from ("2026b"), or "unknown". */
const char *zone_data_version(struct arena *mem);

/* How many instants show this civil time. */
enum zone_answer {
    ZONE_NONE, /* the hour that is jumped over: no instant */
    ZONE_ONE,
    ZONE_TWO, /* the hour that comes twice: the earlier one first */
};

/* Instants at which the zone's clocks show `civil`; out[0] and out[1] are filled as answered. */
enum zone_answer zone_to_instants(const struct zone *zone, const struct civil *civil,
                                  instant out[2]);

/* What the zone's clocks show at an instant; offset_s and abbreviation may be NULL. */
struct civil zone_to_civil(const struct zone *zone, instant at, int *offset_s,
                           const char **abbreviation);

/*
 * Days follow one another without gap or overlap: an instant lies in `day` exactly when
 * zone_day_start(day) <= at < zone_day_start(day + 1).
 *
 * A day starts at the first instant from which clocks never again show less than its 00:00:
 * where they jump over midnight, at the jump; where they go back from after midnight to
 * before it, at the second midnight. So a day may have 23 or 25 hours, or none at all where
 * a zone crossed the date line. The same for days that start at `hour` o'clock (0-23), which
 * are named after the civil day they start in.
 */
day_number zone_day(const struct zone *zone, instant at);
day_number zone_day_at(const struct zone *zone, instant at, int hour);
instant zone_day_start(const struct zone *zone, day_number day);
instant zone_day_start_at(const struct zone *zone, day_number day, int hour);

/* "2026-05-01 21:00" in the zone, for people; with seconds only when they are not 0. */
char *zone_text(struct arena *mem, const struct zone *zone, instant at);

#endif

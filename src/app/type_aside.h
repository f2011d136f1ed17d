/*
 * Typing what is right in place of what could not be read of a row set aside: its value, time,
 * station, parameter, unit or sample number. The row is read again with that, by its source, and
 * stored with the origin it always had; what it said first stays on record, with who typed what and
 * why.
 */
#ifndef APP_TYPE_ASIDE_H
#define APP_TYPE_ASIDE_H

#include "app/correct.h"

/* Texts are NULL where nothing was typed. */
struct type_order {
    struct aside_ref ref;
    const char *value; /* "12.5", "<0.05", ">2420", "ND", or a state */
    const char *station;
    const char *parameter;
    const char *unit;
    const char *sample; /* its number */
    instant at;         /* INSTANT_NONE: not typed, or as `time` says */
    const char *time;   /* as the source writes times, "31/03/2026 09:30", and by its clock */
    const char *reason;
    const char *second_person; /* or NULL */
};

/*
 * `done`: what the row said, and what was typed, times in the farm's own.
 *
 * ERR_INVALID: nothing typed, or what can't be typed there (a unit that stands in the header, the
 * time of a span), or the row still can't be read or contradicts what is stored: the text says why,
 * and nothing is changed. ERR_NOT_FOUND: nothing waits there; no such station or parameter.
 */
MUST_CHECK bool aside_type(struct db *db, struct arena *mem, const struct open_farm *farm,
                           const struct type_order *order, const struct act *act,
                           struct correction_done *done, struct err *err);

#endif

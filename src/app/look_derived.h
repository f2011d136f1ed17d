/*
 * Looking at what the farm works out of its readings: each derived reading with what went in, and
 * what was not given and why. Nothing of it is stored.
 */
#ifndef APP_LOOK_DERIVED_H
#define APP_LOOK_DERIVED_H

#include "app/load_evidence.h"

/* One derived reading, or one that is not given: then `reading` is NULL and `not_given` says why.
 */
struct derived_row {
    instant at;
    const struct evidence_series *series; /* of a reading */
    const struct evidence_reading *reading;
    const struct evidence_set_aside *not_given;
};

struct derived_rows {
    struct derived_row *items; /* in order of time */
    size_t count;
    size_t capacity;
    size_t not_given;
};

/*
 * Of the civil days from..to. ERR_NOT_FOUND: the farm derives no such parameter there; the hint
 * says what it does.
 */
MUST_CHECK bool derived_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                             const char *station, const char *parameter, day_number from,
                             day_number to, instant now, struct derived_rows *out, struct err *err);

/*
 * What a station and parameter are worked out to be on the civil days from..to, with all that goes
 * in: of its series those of kind derived, station and parameter are meant.
 */
MUST_CHECK bool derived_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                             const char *station, const char *parameter, day_number from,
                             day_number to, instant now, struct loaded_evidence *out,
                             struct err *err);

/* Whether something of the farm file makes it. */
bool derived_is_made(const struct farm *farm, const char *station, const char *parameter);

#endif

/*
 * Correction store: new values for stored readings, leave-outs and their taking back. The first
 * value stays where it is.
 */
#ifndef STORE_CORRECTION_STORE_H
#define STORE_CORRECTION_STORE_H

#include "base/decimal.h"
#include "db/db.h"

struct correction_row {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion;
    const char *kind; /* "value", "left out", "put back" */
    char qualifier;   /* of "value" */
    struct decimal reported;
    const char *unit;
    double value; /* canonical unit */
    const char *reason;
    const char *person;
    const char *second_person; /* or NULL */
    instant made_at;
    int64_t receipt; /* of the row set aside that it accepts, or 0 */
    int32_t line;
};

MUST_CHECK bool correction_store_add(struct db_tx *tx, const struct correction_row *correction,
                                     struct err *err);

/* A correction beside the value first stored, as people see it. */
struct correction_view {
    int64_t series_id;
    const char *station;
    const char *parameter;
    instant at;
    instant until;
    int64_t portion;
    const char *kind;
    char qualifier; /* of "value", with the two after it */
    struct decimal reported;
    const char *unit;
    const char *first_value; /* "<0.05 mg/L" */
    const char *new_value;   /* or "left out", "put back" */
    const char *reason;
    const char *person;
    const char *second_person; /* or NULL */
    instant made_at;
};

struct correction_views {
    struct correction_view *items;
    size_t count;
};

/* Corrections of readings with first <= at < until, oldest first. */
MUST_CHECK bool correction_store_between(struct db_tx *tx, struct arena *mem, instant first,
                                         instant until, struct correction_views *out,
                                         struct err *err);

#endif

/*
 * Quality store: results of samples, with what says how they were taken and measured, and the
 * newest limits of detection and quantitation that laboratories told.
 */
#ifndef STORE_QUALITY_STORE_H
#define STORE_QUALITY_STORE_H

#include "base/decimal.h"
#include "db/db.h"

/* A result as it stands, corrections applied. */
struct quality_result_row {
    int64_t series_id;
    const char *station;
    const char *position; /* "" none */
    const char *parameter;
    const char *made_by; /* "" not told */
    instant at;
    instant until;
    char qualifier;
    struct decimal reported; /* nothing with qualifier 'n' */
    const char *unit;
    int64_t receipt;
    const char *sample;
    const char *replicate; /* "" where there is one portion */
    const char *purpose;
    struct decimal detection; /* in `unit`; coefficient 0: not told */
    struct decimal quantitation;
};

struct quality_result_rows {
    struct quality_result_row *items;
    size_t count;
};

/* Of samples, first <= at < until, of `parameters` ("{a,b}"); by parameter, series and time. */
MUST_CHECK bool quality_store_results(struct db_tx *tx, struct arena *mem, instant first,
                                      instant until, const char *parameters,
                                      struct quality_result_rows *out, struct err *err);

/* The newest limits of one series of samples. */
struct quality_limit_row {
    int64_t series_id;
    const char *station;
    const char *position; /* "" none */
    const char *parameter;
    const char *method;       /* "" not told */
    const char *made_by;      /* the same */
    instant told_at;          /* of the newest result with limits beside it; INSTANT_NONE: none */
    struct decimal detection; /* in the unit of that result, which is not told here */
    struct decimal quantitation;
    instant latest_at; /* of the newest result, `<` among them */
    char latest_qualifier;
    struct decimal latest_reported;
    const char *latest_unit;
};

struct quality_limit_rows {
    struct quality_limit_row *items;
    size_t count;
};

MUST_CHECK bool quality_store_limits(struct db_tx *tx, struct arena *mem,
                                     struct quality_limit_rows *out, struct err *err);

#endif

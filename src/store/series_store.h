/*
 * Series store: what makes values comparable, and the newest reading of each.
 */
#ifndef STORE_SERIES_STORE_H
#define STORE_SERIES_STORE_H

#include "base/decimal.h"
#include "db/db.h"
#include "ingest/draft.h"

struct series_row {
    int64_t series_id;
    const char *station;
    const char *position; /* "" none */
    const char *parameter;
    const char *matrix;
    const char *method;
    const char *made_by;
    const char *kind;
};

struct series_rows {
    struct series_row *items;
    size_t count;
};

/* The number that these columns always give. */
int64_t series_id_of(const struct draft_series *series);

MUST_CHECK bool series_store_list(struct db_tx *tx, struct arena *mem, struct series_rows *out,
                                  struct err *err);

/* Add it when the farm does not have it yet. */
MUST_CHECK bool series_store_add(struct db_tx *tx, const struct draft_series *series,
                                 struct err *err);

struct latest_row {
    int64_t series_id;
    instant at; /* INSTANT_NONE: none yet */
    char qualifier;
    struct decimal reported;
    const char *unit;
};

/* Keep it when it is not older than what is there. */
MUST_CHECK bool series_store_latest_put(struct db_tx *tx, const struct latest_row *latest,
                                        struct err *err);

/*
 * A reading of the portion (0: no sample) was corrected to this: where it is the newest, it is
 * shown as it now stands.
 */
MUST_CHECK bool series_store_latest_follow(struct db_tx *tx, const struct latest_row *latest,
                                           int64_t portion, struct err *err);

struct latest_view {
    const char *station;
    const char *position;
    const char *parameter;
    const char *made_by;
    const char *kind;
    instant at;
    char qualifier;
    const char *reported; /* "" for a not-detected */
    const char *unit;
};

struct latest_views {
    struct latest_view *items;
    size_t count;
};

MUST_CHECK bool series_store_latest_list(struct db_tx *tx, struct arena *mem,
                                         struct latest_views *out, struct err *err);

#endif

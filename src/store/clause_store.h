/*
 * Clause store: every form each limit and interval ever had, confirmations, and reasons for no
 * sample.
 */
#ifndef STORE_CLAUSE_STORE_H
#define STORE_CLAUSE_STORE_H

#include "db/db.h"
#include "plan/interval.h"

struct clause_row {
    const char *clause;
    int version;
    const char *change; /* "licence changed", "copied wrongly" or NULL for the first form */
    bool gone;
    int confirmed; /* by how many people; of limits only: 0 of an interval */
    int compared;  /* the newest farm file by which somebody compared this form; 0: nobody */
    const char *definition;
};

struct clause_rows {
    struct clause_row *items;
    size_t count;
};

/* By clause, oldest form first. */
MUST_CHECK bool clause_store_limits(struct db_tx *tx, struct arena *mem, struct clause_rows *out,
                                    struct err *err);
MUST_CHECK bool clause_store_intervals(struct db_tx *tx, struct arena *mem, struct clause_rows *out,
                                       struct err *err);

/* A person compared that form, by that version of the farm file. */
MUST_CHECK bool clause_store_confirm(struct db_tx *tx, const char *clause, int version,
                                     int farm_file, const char *person, instant at,
                                     struct err *err);

MUST_CHECK bool no_sample_store_add(struct db_tx *tx, const char *clause,
                                    const struct no_sample *reason, instant at, struct err *err);

struct no_sample_row {
    const char *clause;
    struct no_sample reason;
};

struct no_sample_rows {
    struct no_sample_row *items;
    size_t count;
};

MUST_CHECK bool no_sample_store_list(struct db_tx *tx, struct arena *mem,
                                     struct no_sample_rows *out, struct err *err);

#endif

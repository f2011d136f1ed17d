/*
 * Probe store: visits to probes and field meters, what was read at them, what that came to, and
 * what persons answered. Only added to: a wrong visit is withdrawn, a later answer counts instead
 * of the one before.
 */
#ifndef STORE_PROBE_STORE_H
#define STORE_PROBE_STORE_H

#include "db/db.h"
#include "farmfile/visit_file.h"
#include "trust/probe_spans.h"

struct probe_answer_row {
    struct probe_answer answer;
    const char *unit; /* of its errors */
    const char *reason;
    const char *person;
    const char *second_person; /* or NULL */
    instant at;
};

/* One parameter at a visit. */
struct probe_check_row {
    struct visit_readings read;
    const struct exact *fouling; /* in read.unit; NULL: not checked */
    const struct exact *drift;
    enum probe_result found;
    enum probe_result left;
    bool calibrated;
    const char *rating;                    /* "good", or NULL: by criteria that have none */
    const char *criteria;                  /* in words */
    const struct probe_answer_row *answer; /* the newest; NULL: none */
};

struct probe_visit_row {
    int visit;
    const char *instrument;
    instant at;
    const char *maintenance; /* or NULL */
    const char *note;        /* or NULL */
    const char *person;
    instant recorded_at;
    const char *withdrawn; /* why; NULL: it stands */
    const char *withdrawn_by;
    instant withdrawn_at;
    const char *withdrawn_seen;     /* by whom beside the one who did it; NULL: by nobody */
    struct probe_check_row *checks; /* by parameter */
    size_t check_count;
};

struct probe_visit_rows {
    struct probe_visit_row *items; /* by instrument and time */
    size_t count;
};

/* Of the parameter; NULL: it was not read at that visit. */
const struct probe_check_row *probe_visit_check(const struct probe_visit_row *visit,
                                                const char *parameter);

/*
 * Add it with all that was read; its number is drawn here. ERR_CONFLICT: somebody else added one
 * in the same moment.
 */
MUST_CHECK bool probe_store_add(struct db_tx *tx, struct arena *mem,
                                const struct probe_visit_row *row, int *visit, struct err *err);

/* ERR_CONFLICT: it is withdrawn already. */
MUST_CHECK bool probe_store_withdraw(struct db_tx *tx, int visit, const char *reason,
                                     const char *person, instant at, struct err *err);

/* A second person saw that it was. ERR_CONFLICT: somebody has. */
MUST_CHECK bool probe_store_see_withdrawn(struct db_tx *tx, int visit, const char *person,
                                          instant at, struct err *err);

MUST_CHECK bool probe_store_answer(struct db_tx *tx, struct arena *mem, const char *parameter,
                                   const struct probe_answer_row *row, struct err *err);

/* Every visit of the farm, withdrawn ones too. */
MUST_CHECK bool probe_store_list(struct db_tx *tx, struct arena *mem, struct probe_visit_rows *out,
                                 struct err *err);

#endif

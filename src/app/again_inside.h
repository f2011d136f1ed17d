/*
 * Reading kept bytes again, for the use cases that do: all rows of a file that wait (read_again.h),
 * or one of them with what a person typed in place of what it says (type_aside.h).
 */
#ifndef APP_AGAIN_INSIDE_H
#define APP_AGAIN_INSIDE_H

#include "app/read_again.h"
#include "app/receipt_traces.h"
#include "ingest/row_typed.h"
#include "store/receipt_store.h"

/* One reading again on its way. */
struct again {
    struct db *db;
    struct arena *mem;
    const struct open_farm *farm;
    const struct act *act;
    const char *second_person;     /* or NULL */
    const char *reason;            /* NULL: by the farm file as it is now */
    const struct row_typed *typed; /* or NULL */
    /* More that is stored with what was accepted, before the entry; NULL: nothing. */
    bool (*more)(const struct again *again, struct db_tx *tx, struct err *err);
    const void *context;            /* of `more` */
    const struct entry_field *told; /* more fields of the entry */
    size_t told_count;
    struct receipt_row receipt;
    const struct source *source;
    struct aside_places places; /* the rows that are wanted */
    struct scan scan;
    struct storing storing;
};

/* The newest file of that name (with NULL: that receipt) with rows that wait. */
MUST_CHECK bool again_pick(struct again *again, const char *file_name, int64_t receipt,
                           struct err *err);

/* Its source, as it reads today. */
MUST_CHECK bool again_source(struct again *again, struct err *err);

/*
 * Read the file, and store what can be read now, in one transaction with one entry; with nothing
 * accepted and nothing blank nothing is stored.
 */
MUST_CHECK bool again_run(struct again *again, size_t *accepted, struct err *err);

#endif

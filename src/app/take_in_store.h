/*
 * Second reading of a file: everything into the database, inside the receipt's transaction.
 */
#ifndef APP_TAKE_IN_STORE_H
#define APP_TAKE_IN_STORE_H

#include "app/sensing.h"
#include "app/take_in_scan.h"
#include "base/merkle.h"
#include "store/aside_store.h"
#include "store/reading_store.h"
#include "store/series_store.h"

struct batch_root {
    size_t readings;
    struct digest root;
};

struct batch_roots {
    struct batch_root *items;
    size_t count;
    size_t capacity;
};

/* What storing one series came to. */
struct series_span {
    struct latest_row latest;
    instant first;
    instant last;
    instant staged;          /* of the row that was staged last */
    struct sensing *sensing; /* its tests while it goes straight in; NULL: none, or staged */
};

struct aside_place_list {
    struct aside_place *items;
    size_t count;
    size_t capacity;
};

struct portion_list {
    int64_t *items;
    size_t count;
    size_t capacity;
};

struct storing {
    struct db_tx *tx;
    struct arena *mem;
    const struct scan *scan;
    const struct farm *farm; /* whose sensor tests readings stand under */
    int64_t receipt;
    bool staged;
    struct aside_place_list blanks; /* of rows that wait: what now reads as blank */
    struct draft *agreeing;         /* of a batch: rows that don't contradict each other's sample */
    struct db_copy copy;
    enum { COPYING_NOTHING, COPYING_READINGS, COPYING_ASIDE } copying;
    struct merkle tree;
    struct batch_roots roots;
    int64_t last_place; /* line and column of the leaf before */
    int64_t staged_rows;
    int64_t aside_rows; /* not staged or stored: what they tell of their sample contradicts */
    bool each_once;     /* no two staged rows speak of the same thing, as far as was read */
    bool noted;         /* some rows have detection limits or are in doubt */
    struct portion_list blanks_taken; /* portions of blanks, which say nothing of the water */
    struct series_span *spans;        /* one a series of the scan */
    struct settle_counts counts;
};

/*
 * Store the file's rows, straight in or staged. Straight in fails with ERR_CONFLICT when rows
 * meet stored ones or each other, or are not in the order of the file: then the caller rolls
 * back to its savepoint and stages.
 */
MUST_CHECK bool storing_run(struct storing *storing, const struct source *source,
                            const struct ingest_world *world, const struct byte_source *from,
                            struct err *err);

#endif

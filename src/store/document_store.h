/*
 * Document store: files kept byte for byte, what they prove, and results that were held against
 * them. All of it is only added.
 */
#ifndef STORE_DOCUMENT_STORE_H
#define STORE_DOCUMENT_STORE_H

#include "base/crypto.h"
#include "db/db.h"

enum { DOCUMENT_PIECE_BYTES = 1024 * 1024 };

struct document_row {
    int64_t document; /* its number within the farm, from 1 */
    const char *name; /* a label, never a path */
    const char *kind;
    struct digest sha256;
    int64_t byte_count;
    instant received_at;
    const char *person;
};

struct document_rows {
    struct document_row *items;
    size_t count;
};

/* The number it was given. ERR_CONFLICT: another was kept at the same time. */
MUST_CHECK bool document_store_add(struct db_tx *tx, const struct document_row *row,
                                   int64_t *document, struct err *err);
MUST_CHECK bool document_store_piece_add(struct db_tx *tx, int64_t document, int piece,
                                         const void *bytes, size_t count, struct err *err);

/* Bytes of one piece; *count 0 past the last. */
MUST_CHECK bool document_store_piece(struct db_tx *tx, struct arena *mem, int64_t document,
                                     int piece, const void **bytes, size_t *count, struct err *err);

/* The number of the one with these bytes; 0: none. */
MUST_CHECK bool document_store_find(struct db_tx *tx, const struct digest *sha256,
                                    int64_t *document, struct err *err);

/* Newest first. */
MUST_CHECK bool document_store_list(struct db_tx *tx, struct arena *mem, struct document_rows *out,
                                    struct err *err);

/* What a document proves or belongs to. */
struct document_tie {
    int64_t document;
    const char *kind;  /* "sample", "file", "licence", "finding", "instrument" */
    const char *about; /* which one */
    const char *person;
    instant tied_at;
};

struct document_ties {
    struct document_tie *items;
    size_t count;
};

/* Nothing happens where it is tied to that already. */
MUST_CHECK bool document_store_tie_add(struct db_tx *tx, const struct document_tie *tie,
                                       struct err *err);
MUST_CHECK bool document_store_ties(struct db_tx *tx, struct arena *mem, struct document_ties *out,
                                    struct err *err);

/* A result of a sample as it stands. */
struct sample_result {
    const char *station;
    const char *parameter;
    const char *made_by;   /* "" not told */
    const char *replicate; /* "" none */
    instant at;
    char qualifier;
    const char *reported; /* "" of a not-detected and of a state */
    const char *unit;
    bool left_out;
    int64_t receipt;
    int32_t line;
};

struct sample_results {
    struct sample_result *items;
    size_t count;
};

/* In first..last, both included. */
MUST_CHECK bool document_store_results(struct db_tx *tx, struct arena *mem, const char *sample,
                                       instant first, instant last, struct sample_results *out,
                                       struct err *err);

/* A person held a sample's results against a document. */
struct result_check {
    const char *sample;
    int64_t document;
    const char *name; /* of the document */
    const char *person;
    instant checked_at;
    const char *results;  /* as they stood, in words */
    bool corrected_since; /* one of them is no longer what was checked */
};

struct result_checks {
    struct result_check *items;
    size_t count;
};

MUST_CHECK bool document_store_check_add(struct db_tx *tx, const struct result_check *check,
                                         struct err *err);

/* Of samples taken in first <= t < until; by sample, the newest check last. */
MUST_CHECK bool document_store_checks(struct db_tx *tx, struct arena *mem, instant first,
                                      instant until, struct result_checks *out, struct err *err);

#endif

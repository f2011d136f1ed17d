/*
 * Receipt store: files received, their bytes, and the samples they speak of.
 */
#ifndef STORE_RECEIPT_STORE_H
#define STORE_RECEIPT_STORE_H

#include "base/crypto.h"
#include "db/db.h"
#include "ingest/place.h"

enum { RECEIPT_PIECE_BYTES = 1024 * 1024, RECEIPT_BATCH_READINGS = 65536 };

struct receipt_row {
    int64_t receipt;
    const char *source;
    int farm_file_version;
    const char *file_name; /* a label, never a path */
    struct digest sha256;
    int64_t byte_count;
    instant received_at;
    const char *person;
    /* values_in = stored + already_known + blank + set_aside, which the table checks */
    int64_t values_in;
    int64_t stored;
    int64_t already_known;
    int64_t blank;
    int64_t set_aside;
    instant first_at; /* INSTANT_NONE when nothing was stored or known */
    instant last_at;
    struct place_sheets sheets; /* by receipt_store_list: of a workbook, those taken in */
};

struct receipt_rows {
    struct receipt_row *items;
    size_t count;
};

/* The receipt of these very bytes; *found tells. */
MUST_CHECK bool receipt_store_find(struct db_tx *tx, struct arena *mem, const char *source,
                                   const struct digest *sha256, struct receipt_row *out,
                                   bool *found, struct err *err);

MUST_CHECK bool receipt_store_piece_add(struct db_tx *tx, int64_t receipt, int piece,
                                        const void *bytes, size_t count, struct err *err);
MUST_CHECK bool receipt_store_batch_add(struct db_tx *tx, int64_t receipt, int batch,
                                        size_t readings, const struct digest *root,
                                        struct err *err);

/* A sheet of a workbook that was taken in. */
MUST_CHECK bool receipt_store_sheet_add(struct db_tx *tx, int64_t receipt,
                                        const struct place_sheet *sheet, struct err *err);

/* Bytes of one piece; *count 0 past the last. */
MUST_CHECK bool receipt_store_piece(struct db_tx *tx, struct arena *mem, int64_t receipt,
                                    int piece, const void **bytes, size_t *count,
                                    struct err *err);

/* How many batches it has already. */
MUST_CHECK bool receipt_store_batches(struct db_tx *tx, int64_t receipt, int *batches,
                                      struct err *err);

/* ERR_CONFLICT: the same bytes came in at the same time by another program. */
MUST_CHECK bool receipt_store_add(struct db_tx *tx, const struct receipt_row *receipt,
                                  struct err *err);

/* The newest instant that a file of the source holds; INSTANT_NONE: none yet. */
MUST_CHECK bool receipt_store_newest_of_source(struct db_tx *tx, const char *source, instant *out,
                                               struct err *err);

/* Newest first. */
MUST_CHECK bool receipt_store_list(struct db_tx *tx, struct arena *mem, struct receipt_rows *out,
                                   struct err *err);

struct sample_row {
    const char *sample;
    const char *station;
    const char *position;
    const char *purpose;
    const char *kind;
    instant from;
    instant until;
    const char *taken_by; /* or NULL */
    int64_t receipt;      /* that first spoke of it */
};

struct sample_rows {
    struct sample_row *items;
    size_t count;
};

/* Those of these numbers that are on record. */
MUST_CHECK bool sample_store_list(struct db_tx *tx, struct arena *mem, const char *const *samples,
                                  size_t count, struct sample_rows *out, struct err *err);

/* The number a sample's replicate has in readings. */
int64_t sample_portion_of(const char *sample, const char *replicate);

/* Add the sample and the portion when they are not on record. */
MUST_CHECK bool sample_store_add(struct db_tx *tx, const struct sample_row *sample,
                                 const char *replicate, struct err *err);

#endif

/*
 * Documents: a certificate, notice, licence or photo kept byte for byte under its digest, tied to
 * what it proves; and results that a person held against their certificate.
 *
 * Nothing kept is ever changed or taken away. The same bytes are kept once: keeping them again may
 * tie them to more.
 */
#ifndef APP_DOCUMENTS_H
#define APP_DOCUMENTS_H

#include "app/open_farm.h"
#include "store/document_store.h"

enum { DOCUMENT_BYTES_MOST = 64 * 1024 * 1024, DOCUMENT_NAME_MOST = 255 };

/* "certificate", "notice", "licence", "photo", "other"; NULL ends them. */
extern const char *const document_kinds[];

struct document_order {
    const char *path;
    const char *kind;
    /* "sample NUMBER", "file NAME", "licence KEY", "finding SUBJECT DAY", "instrument NAME". */
    const char *about; /* NULL: nothing yet */
};

struct document_kept {
    struct document_row row;
    bool already; /* these bytes were on record */
};

/*
 * ERR_TOO_LARGE: more than DOCUMENT_BYTES_MOST bytes. ERR_INVALID: no such kind, an `about` that
 * says nothing, an empty file. ERR_NOT_FOUND: no such file, sample, licence, finding, instrument.
 */
MUST_CHECK bool document_keep(struct db *db, struct arena *mem, const struct open_farm *farm,
                              const struct document_order *order, const struct act *act,
                              struct document_kept *out, struct err *err);

/* Newest first, and what they are tied to. */
MUST_CHECK bool documents_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                               struct document_rows *out, struct document_ties *ties,
                               struct err *err);

/*
 * Write a document's bytes to `path`, where no file may be yet. ERR_NOT_FOUND: no such number.
 * ERR_INVALID: `path` is NULL. ERR_CONFLICT: a file is there. ERR_BUG: what is stored no longer has
 * the digest it came in with; nothing is written.
 */
MUST_CHECK bool document_write(struct db *db, struct arena *mem, const struct open_farm *farm,
                               int64_t document, const char *path, struct document_row *out,
                               struct err *err);

struct document_check {
    struct document_row document;
    struct sample_results results; /* as they stand and were checked */
};

/*
 * A person held all results of a sample against a document and found them the same.
 *
 * ERR_NOT_FOUND: no such sample or document, or the sample has no results. ERR_DENIED: the person
 * may neither correct nor sample.
 */
MUST_CHECK bool document_check(struct db *db, struct arena *mem, const struct open_farm *farm,
                               const char *sample, int64_t document, const struct act *act,
                               struct document_check *out, struct err *err);

/* "<0.05 mg/L", "not detected", "shut". */
char *sample_result_words(struct arena *mem, const struct sample_result *result);

#endif

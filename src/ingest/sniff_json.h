/*
 * Sniff JSON: where in a document its records lie, and some of them as rows. The first row names
 * the keys, those inside others with dots between, as ingest/json_source.h does.
 */
#ifndef INGEST_SNIFF_JSON_H
#define INGEST_SNIFF_JSON_H

#include "ingest/sniff_sample.h"
#include "ingest/source_read.h"

struct sniff_json {
    const char *records; /* keys to the list, dots between; NULL: the document itself */
    size_t lists;        /* lists of records that were found: of several the longest is taken */
    int64_t count;       /* of records */
    struct sniff_rows rows;
    const char *charset;
};

/*
 * ERR_INVALID: no JSON, or no list of records in it. ERR_TOO_LARGE: a limit of ingest/json_text.h,
 * or records with more than CSV_COLUMNS_MOST keys.
 */
MUST_CHECK bool sniff_json_rows(struct arena *mem, const struct ingest_bytes *bytes,
                                struct sniff_json *out, struct err *err);

#endif

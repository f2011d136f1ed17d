/*
 * Sniff book: the sheets of a workbook, and some rows of each.
 */
#ifndef INGEST_SNIFF_BOOK_H
#define INGEST_SNIFF_BOOK_H

#include "ingest/sniff_sample.h"
#include "ingest/source_read.h"

enum { SNIFF_SHEETS_MOST = 50 }; /* of a workbook, looked at; the others are named */

struct sniff_sheet {
    const char *name;
    bool hidden;
    bool looked_at;
    struct sniff_rows rows;
    int64_t seen; /* rows with anything in them */
};

struct sniff_sheets {
    struct sniff_sheet *items;
    size_t count;
    size_t capacity;
};

/* Errors of sheet_read_file() and workbook_spool(). */
MUST_CHECK bool sniff_book_rows(struct arena *mem, const struct ingest_bytes *bytes,
                                struct sniff_sheets *out, struct err *err);

#endif

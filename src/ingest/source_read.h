/*
 * Reading a file by its source, whatever its format: bytes in, drafts and problems out.
 *
 * A bad row or record never stops a good one. What stops the whole file, with nothing taken in, is
 * an error with its place: see the reader of each format.
 */
#ifndef INGEST_SOURCE_READ_H
#define INGEST_SOURCE_READ_H

#include "ingest/draft.h"
#include "ingest/source.h"

/* Where the bytes come from: fills at most `room` bytes, sets *got (0 at the end). */
struct ingest_bytes {
    void *context;
    bool (*read)(void *context, void *into, size_t room, size_t *got, struct err *err);
};

MUST_CHECK bool source_read(const struct source *source, const struct ingest_world *world,
                            const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                            struct ingest_counts *counts, struct err *err);

#endif

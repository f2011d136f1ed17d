/*
 * A file read in pieces, again and again from its start, without ever holding it in memory.
 */
#ifndef APP_BYTES_FILE_H
#define APP_BYTES_FILE_H

#include "app/take_in.h"
#include "base/crypto.h"
#include "ingest/source_read.h"

struct bytes_file {
    int fd;
    const char *name; /* last part of the path: a label */
    int64_t size;
    int64_t offset; /* of the next read */
    struct sha256_state *digest; /* of what was read since the last rewind */
    const struct take_in_options *options;
};

/*
 * A regular file that can be read and is not empty: the one that the options hold open, else the
 * one at `path`; links are followed, as the person named it.
 */
MUST_CHECK bool bytes_file_open(const char *path, struct arena *mem,
                                const struct take_in_options *options, struct bytes_file *out,
                                struct err *err);
void bytes_file_close(struct bytes_file *file); /* for CLEANUP; zeroed is fine with fd -1 */

void bytes_file_rewind(void *file); /* for struct byte_source */

/* For struct ingest_bytes: fill, count into the digest, tell progress, look whether to stop. */
bool bytes_file_read(void *context, void *into, size_t room, size_t *got, struct err *err);

/* Digest of all bytes read since the last rewind. */
struct digest bytes_file_digest(struct bytes_file *file);

#endif

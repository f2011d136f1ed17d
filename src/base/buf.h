/*
 * Buffer: text or bytes that grow, in an arena. `data` always ends in a NUL that
 * `len` does not count, so it may be used as a string at any time.
 */
#ifndef BASE_BUF_H
#define BASE_BUF_H

#include <stddef.h>

#include "base/arena.h"
#include "base/macro.h"

struct buf {
    struct arena *mem;
    char *data;
    size_t len;
    size_t capacity;
};

struct buf buf_new(struct arena *mem);

void buf_add(struct buf *buf, const void *bytes, size_t count);
void buf_add_text(struct buf *buf, const char *text);
void buf_add_char(struct buf *buf, char c);
void buf_addf(struct buf *buf, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Forget what is behind the first `len` bytes, of which there have to be so many. */
void buf_cut(struct buf *buf, size_t len);

/* Forget what is in it, keep the room. */
void buf_clear(struct buf *buf);

#endif

/*
 * Charset: bytes of a file to UTF-8 text, as they come, whatever the size of the file.
 *
 * Which charset it is, in this order:
 *
 *     1. a byte order mark (UTF-8, UTF-16 of either order)
 *     2. NULs in every second byte: UTF-16 without a mark
 *     3. text that is strictly valid UTF-8 is UTF-8
 *     4. the charset that was told
 *
 * Nothing is guessed beyond that: with "utf-8" told, bytes that are no UTF-8 are handed on as
 * faults, one by one and with their place, and the text around them goes on. With an 8-bit
 * charset told, the first byte outside ASCII decides between 3 and 4.
 *
 * A file that is no text at all (a workbook, a picture, a program, NULs that are no UTF-16) is
 * refused whole, with advice.
 */
#ifndef BASE_CHARSET_H
#define BASE_CHARSET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"

/* Bytes looked at before anything is decided. */
enum { CHARSET_HEAD = 4096 };

/* Names that may be told, in lower case; NULL ends the list. */
extern const char *const charset_names[];

/* Whether charset_new() takes this name (letter case does not count). */
bool charset_known(const char *name);

/* A byte that is no text. */
struct charset_fault {
    unsigned char byte;
    int64_t offset; /* in the file, from 0 */
};

/* Where text and faults go, in the order of the file. False (err set) stops the conversion. */
struct charset_sink {
    void *context;
    bool (*text)(void *context, const char *text, size_t count, struct err *err);
    bool (*fault)(void *context, const struct charset_fault *fault, struct err *err);
};

struct charset;

/* `told`: a name charset_known() knows; NULL is "utf-8". */
struct charset *charset_new(struct arena *mem, const char *told, const struct charset_sink *sink);

/*
 * Convert some more bytes. Text may be handed on later than its bytes came in.
 *
 * ERR_INVALID: the file is no text; the hint says what to do.
 */
MUST_CHECK bool charset_feed(struct charset *charset, const void *bytes, size_t count,
                             struct err *err);

/* The file is at its end: hand on the rest. Errors as of charset_feed(). */
MUST_CHECK bool charset_end(struct charset *charset, struct err *err);

/* What the text turned out to be, as one of charset_names; "utf-8" for plain ASCII. */
const char *charset_found(const struct charset *charset);

/* Bytes fed so far. */
int64_t charset_bytes(const struct charset *charset);

#endif

/*
 * Charset: the first byte chooses the charset told, the second how many bytes come at a time, the
 * rest is a file.
 *
 * What was decoded, encoded again by the C library's iconv() with the bytes that are no text in
 * their places, is the file.
 */
#include <iconv.h>
#include <string.h>

#include "base/buf.h"
#include "base/charset.h"
#include "base/utf8.h"
#include "fuzz.h"

struct decoded {
    const uint8_t *bytes; /* of the file */
    size_t size;
    const char *encoding; /* iconv's name of what the text is to be encoded in */
    struct buf text;      /* all of it */
    struct buf again;     /* encoded again, with the faults */
    int64_t fault_at;     /* of the one before */
};

static void encode(struct decoded *decoded, const char *text, size_t count)
{
    iconv_t to = iconv_open(decoded->encoding, "UTF-8");
    size_t room = count * 4 + 4;
    char *out = malloc(room);
    char *into = out;
    char *from = malloc(count + 1);
    char *at = from;

    HOLDS(to != (iconv_t)-1 && out && from);
    memcpy(from, text, count);
    HOLDS(iconv(to, &at, &count, &into, &room) != (size_t)-1);
    buf_add(&decoded->again, out, (size_t)(into - out));
    iconv_close(to);
    free(out);
    free(from);
}

static bool text_seen(void *context, const char *text, size_t count, struct err *err)
{
    struct decoded *decoded = context;
    uint32_t character;

    (void)err;
    for (size_t at = 0; at < count;) {
        size_t length = utf8_character(text + at, count - at, &character);

        HOLDS(length > 0 && character != 0);
        at += length;
    }
    buf_add(&decoded->text, text, count);
    if (decoded->encoding)
        encode(decoded, text, count);
    else
        buf_add(&decoded->again, text, count);

    return true;
}

static bool fault_seen(void *context, const struct charset_fault *fault, struct err *err)
{
    struct decoded *decoded = context;

    (void)err;
    HOLDS(fault->offset > decoded->fault_at && fault->offset < (int64_t)decoded->size);
    HOLDS(decoded->bytes[fault->offset] == fault->byte);
    decoded->fault_at = fault->offset;
    buf_addf(&decoded->text, "\\x%02X", fault->byte);
    buf_add_char(&decoded->again, (char)fault->byte);

    return true;
}

/* Decode all; the charset's name, or NULL where the file is no text. */
static const char *decode(struct arena *mem, struct decoded *decoded, const char *told,
                          size_t piece)
{
    const struct charset_sink sink = {decoded, text_seen, fault_seen};
    struct charset *charset = charset_new(mem, told, &sink);
    struct err err = ERR_INIT;
    bool done = true;

    decoded->text = buf_new(mem);
    decoded->again = buf_new(mem);
    decoded->fault_at = -1;
    for (size_t at = 0; done && at < decoded->size; at += piece)
        done = charset_feed(charset, decoded->bytes + at,
                            decoded->size - at < piece ? decoded->size - at : piece, &err);
    if (done)
        done = charset_end(charset, &err);
    if (!done) {
        fuzz_error_check(&err);
        return NULL;
    }
    HOLDS(charset_bytes(charset) == (int64_t)decoded->size);

    return charset_found(charset);
}

/* How iconv calls it, once by each name that may be meant. */
static const struct {
    const char *found;
    const char *encoding; /* NULL: as it stands */
} encodings[] = {
    {"utf-8", NULL},        {"windows-1252", "CP1252"}, {"latin-1", "ISO-8859-1"},
    {"utf-16", "UTF-16LE"}, {"utf-16", "UTF-16BE"},
};

static size_t mark_length(const uint8_t *bytes, size_t size)
{
    if (size >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0)
        return 3;

    return size >= 2 && (memcmp(bytes, "\xff\xfe", 2) == 0 || memcmp(bytes, "\xfe\xff", 2) == 0)
               ? 2
               : 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;

    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *told = charset_names[data[0] % 4];
    size_t piece = fuzz_piece(data[1]);
    struct decoded whole = {.bytes = data + 2, .size = size - 2};
    const char *found = decode(mem, &whole, told, 65536);
    struct decoded pieces = {.bytes = whole.bytes, .size = whole.size};
    const char *again = decode(mem, &pieces, told, piece);
    size_t mark = mark_length(whole.bytes, whole.size);
    bool same = false;

    HOLDS(found == again);
    HOLDS(!found || (whole.text.len == pieces.text.len &&
                     memcmp(whole.text.data, pieces.text.data, whole.text.len) == 0));
    for (size_t i = 0; found && i < ARRAY_LEN(encodings); i++) {
        struct decoded other = {
            .bytes = whole.bytes, .size = whole.size, .encoding = encodings[i].encoding};

        if (strcmp(encodings[i].found, found) != 0)
            continue;
        HOLDS(decode(mem, &other, told, 65536) == found);
        for (size_t skip = 0; skip <= mark; skip += mark > 0 ? mark : 1)
            same = same || (other.again.len == whole.size - skip &&
                            memcmp(other.again.data, whole.bytes + skip, whole.size - skip) == 0);
    }
    HOLDS(!found || same);

    return 0;
}

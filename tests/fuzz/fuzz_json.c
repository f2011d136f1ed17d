/*
 * JSON: the first two bytes choose a source and how many bytes come at a time, the rest is a
 * document.
 *
 * Besides reading it by the source, it is walked through alone: what can be read is what another
 * library (jansson) reads, and written anew it says the same.
 */
#include <string.h>

#include "base/buf.h"
#include "base/json.h"
#include "base/utf8.h"
#include "fuzz.h"
#include "ingest/json_text.h"
#include "json_theirs.h"

enum { LEVELS_WRITTEN = JSON_DEPTH_MOST - 1 };

static bool value_walk(struct json_text *json, struct arena *mem, struct json_writer *out,
                       struct err *err);

static bool members_walk(struct json_text *json, struct arena *mem, struct json_writer *out,
                         struct err *err)
{
    bool first = true;
    bool more = true;
    const char *key = NULL;

    json_put_object(out);
    for (;;) {
        if (!json_text_member(json, mem, &first, &more, &key, err))
            return false;
        if (!more)
            break;
        json_put_name(out, key);
        if (!value_walk(json, mem, out, err))
            return false;
    }
    json_put_object_end(out);

    return true;
}

static bool items_walk(struct json_text *json, struct arena *mem, struct json_writer *out,
                       struct err *err)
{
    bool first = true;
    bool more = true;

    json_put_array(out);
    for (;;) {
        if (!json_text_item(json, &first, &more, err))
            return false;
        if (!more)
            break;
        if (!value_walk(json, mem, out, err))
            return false;
    }
    json_put_array_end(out);

    return true;
}

static bool scalar_walk(struct json_text *json, struct arena *mem, struct json_writer *out,
                        enum json_kind kind, struct err *err)
{
    const char *text = NULL;

    if (!json_text_scalar(json, mem, &text, err))
        return false;
    if (kind == JSON_NUMBER)
        json_put_number(out, text);
    else if (kind == JSON_TEXT)
        json_put_text(out, text);
    else if (kind == JSON_NULL)
        json_put_null(out);
    else
        json_put_bool(out, kind == JSON_TRUE);

    return true;
}

static bool value_walk(struct json_text *json, struct arena *mem, struct json_writer *out,
                       struct err *err)
{
    enum json_kind kind;

    if (!json_text_kind(json, &kind, err))
        return false;
    if (kind != JSON_LIST && kind != JSON_OBJECT)
        return scalar_walk(json, mem, out, kind, err);
    if (json->level >= LEVELS_WRITTEN)
        return err_set(err, ERR_TOO_LARGE, "deeper than the writer goes");
    if (!json_text_enter(json, err))
        return false;

    return kind == JSON_OBJECT ? members_walk(json, mem, out, err)
                               : items_walk(json, mem, out, err);
}

/* The one value of a document, written anew; NULL with err where it is no document of one value. */
static char *document_again(struct arena *mem, const char *text, size_t size, struct err *err)
{
    struct json_text json = json_text_begin(text, size);
    struct buf buf = buf_new(mem);
    struct json_writer out = json_begin(&buf);

    if (!value_walk(&json, mem, &out, err))
        return NULL;
    if (json_text_more(&json)) {
        (void)err_set(err, ERR_INVALID, "more behind the value");
        return NULL;
    }
    json_end(&out);

    return buf.data;
}

static bool all_text(const char *text, size_t size)
{
    uint32_t character;

    for (size_t at = 0; at < size;) {
        size_t length = utf8_character(text + at, size - at, &character);

        if (length == 0 || character == 0)
            return false;
        at += length;
    }

    return true;
}

static void document_check(const char *text, size_t size)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    char *again;
    enum theirs theirs;

    if (!all_text(text, size))
        return; /* charset, which stands before this reader, lets nothing else through */
    again = document_again(mem, text, size, &err);
    theirs = json_theirs_read(text, size);
    if (!again)
        HOLDS(theirs != THEIRS_DOCUMENT || err.code == ERR_TOO_LARGE);
    else
        HOLDS(theirs == THEIRS_TOO_LARGE || json_theirs_same(again, strlen(again), text, size));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;

    const struct source *source = fuzz_source(data[0], SOURCE_JSON);
    size_t piece = fuzz_piece(data[1]);

    data += 2;
    size -= 2;

    /* Bytes of other charsets become up to three of UTF-8, and places are of those. */
    const struct fuzz_extent extent = {.lines = fuzz_lines(data, size),
                                       .columns = (int32_t)size * 3 + 1};

    fuzz_read(source, data, size, piece, &extent);
    document_check((const char *)data, size);

    return 0;
}

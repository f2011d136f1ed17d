#include "ingest/json_text.h"

#include <string.h>

#include "base/buf.h"

struct json_text json_text_begin(const char *text, size_t length)
{
    return (struct json_text){.at = text, .end = text + length, .line_begin = text, .line = 1};
}

int32_t json_text_place(const struct json_text *json)
{
    return (int32_t)(json->at - json->line_begin) + 1;
}

bool json_text_fail(const struct json_text *json, enum err_code code, struct err *err,
                    const char *words)
{
    return err_set(err, code, "line %d, column %d: %s", json->line, json_text_place(json), words);
}

static bool fail(const struct json_text *json, struct err *err, const char *words)
{
    return json_text_fail(json, ERR_INVALID, err, words);
}

bool json_text_more(struct json_text *json)
{
    for (; json->at < json->end; json->at++) {
        if (*json->at == '\n') {
            json->line++;
            json->line_begin = json->at + 1;
        } else if (*json->at != ' ' && *json->at != '\t' && *json->at != '\r') {
            return true;
        }
    }

    return false;
}

bool json_text_kind(struct json_text *json, enum json_kind *out, struct err *err)
{
    static const char letters[] = "ntf\"[{";
    static const enum json_kind kinds[] = {JSON_NULL, JSON_TRUE, JSON_FALSE,
                                           JSON_TEXT, JSON_LIST, JSON_OBJECT};

    if (!json_text_more(json))
        return fail(json, err, "the document ends in the middle");

    const char *letter = memchr(letters, *json->at, sizeof(letters) - 1);

    if (!letter && *json->at != '-' && (*json->at < '0' || *json->at > '9'))
        return fail(json, err, "expected a value");
    *out = letter ? kinds[letter - letters] : JSON_NUMBER;

    return true;
}

/* --- texts --- */

/* Four hexadecimal digits. */
static bool unit_read(struct json_text *json, unsigned *out)
{
    unsigned value = 0;

    if (json->end - json->at < 4)
        return false;
    for (int i = 0; i < 4; i++) {
        char c = *json->at++;
        unsigned digit = c >= '0' && c <= '9'   ? (unsigned)(c - '0')
                         : c >= 'a' && c <= 'f' ? (unsigned)(c - 'a') + 10
                         : c >= 'A' && c <= 'F' ? (unsigned)(c - 'A') + 10
                                                : 16;

        if (digit > 15)
            return false;
        value = value * 16 + digit;
    }
    *out = value;

    return true;
}

static void utf8_add(struct buf *text, unsigned code)
{
    if (code < 0x80) {
        buf_add_char(text, (char)code);
        return;
    }
    if (code >= 0x10000) {
        buf_add_char(text, (char)(0xf0 | code >> 18));
        buf_add_char(text, (char)(0x80 | (code >> 12 & 0x3f)));
    } else if (code >= 0x800) {
        buf_add_char(text, (char)(0xe0 | code >> 12));
    }
    if (code >= 0x800)
        buf_add_char(text, (char)(0x80 | (code >> 6 & 0x3f)));
    else
        buf_add_char(text, (char)(0xc0 | code >> 6));
    buf_add_char(text, (char)(0x80 | (code & 0x3f)));
}

/* Behind "\u": one character, of two halves where it needs them. */
static bool code_read(struct json_text *json, struct buf *text)
{
    unsigned code;
    unsigned low;

    if (!unit_read(json, &code) || code == 0 || (code >= 0xdc00 && code <= 0xdfff))
        return false;
    if (code >= 0xd800 && code <= 0xdbff) {
        if (json->end - json->at < 6 || json->at[0] != '\\' || json->at[1] != 'u')
            return false;
        json->at += 2;
        if (!unit_read(json, &low) || low < 0xdc00 || low > 0xdfff)
            return false;
        code = 0x10000 + ((code - 0xd800) << 10) + (low - 0xdc00);
    }
    utf8_add(text, code);

    return true;
}

static bool escape_read(struct json_text *json, struct buf *text)
{
    static const char names[] = "\"\\/bfnrt";
    static const char means[] = "\"\\/\b\f\n\r\t";

    if (json->at == json->end)
        return false;
    if (*json->at == 'u') {
        json->at++;
        return code_read(json, text);
    }

    const char *name = memchr(names, *json->at, sizeof(names) - 1);

    if (!name)
        return false;
    buf_add_char(text, means[name - names]);
    json->at++;

    return true;
}

/* The text that stands here; into `text` unless it is NULL. */
static bool text_read(struct json_text *json, struct buf *text, struct err *err)
{
    const struct json_text begin = *json;

    for (json->at++; json->at < json->end && *json->at != '"';) {
        const char *from = json->at;

        while (json->at < json->end && *json->at != '"' && *json->at != '\\' &&
               (unsigned char)*json->at >= 0x20)
            json->at++;
        if (json->at - begin.at > JSON_TEXT_MOST)
            return json_text_fail(&begin, ERR_TOO_LARGE, err, "a text is longer than 64 kB");
        buf_add(text, from, (size_t)(json->at - from));
        if (json->at == json->end || *json->at == '"')
            continue;
        if (*json->at != '\\')
            return fail(json, err, "a line end or another control character stands in a text");

        const struct json_text slash = *json;

        json->at++;
        if (!escape_read(json, text))
            return fail(&slash, err, "a backslash in a text means nothing here");
    }
    if (json->at == json->end)
        return fail(&begin, err, "a text is opened and never closed");
    json->at++;

    return true;
}

/* --- numbers and words --- */

static size_t digits_step(struct json_text *json)
{
    const char *from = json->at;

    while (json->at < json->end && *json->at >= '0' && *json->at <= '9')
        json->at++;

    return (size_t)(json->at - from);
}

static bool number_step(struct json_text *json, struct err *err)
{
    const struct json_text begin = *json;
    bool zero;

    if (*json->at == '-')
        json->at++;
    zero = json->at < json->end && *json->at == '0';

    size_t whole = digits_step(json);

    if (whole == 0 || (zero && whole > 1))
        return fail(&begin, err, "a number is written in a way that JSON does not know");
    if (json->at < json->end && *json->at == '.') {
        json->at++;
        if (digits_step(json) == 0)
            return fail(&begin, err, "a number ends in its decimal point");
    }
    if (json->at < json->end && (*json->at == 'e' || *json->at == 'E')) {
        json->at++;
        if (json->at < json->end && (*json->at == '+' || *json->at == '-'))
            json->at++;
        if (digits_step(json) == 0)
            return fail(&begin, err, "a number has no exponent behind its e");
    }
    if (json->at - begin.at > JSON_TEXT_MOST)
        return json_text_fail(&begin, ERR_TOO_LARGE, err, "a number is longer than 64 kB");

    return true;
}

static bool word_step(struct json_text *json, const char *word, struct err *err)
{
    size_t length = strlen(word);

    if ((size_t)(json->end - json->at) < length || memcmp(json->at, word, length) != 0)
        return fail(json, err, "expected a value");
    json->at += length;

    return true;
}

bool json_text_scalar(struct json_text *json, struct arena *mem, const char **out, struct err *err)
{
    enum json_kind kind;
    struct buf text = buf_new(mem);

    if (!json_text_kind(json, &kind, err))
        return false;

    const char *from = json->at;

    switch (kind) {
    case JSON_NULL:
        *out = "";
        return word_step(json, "null", err);
    case JSON_TRUE:
        *out = "true";
        return word_step(json, "true", err);
    case JSON_FALSE:
        *out = "false";
        return word_step(json, "false", err);
    case JSON_NUMBER:
        if (!number_step(json, err))
            return false;
        *out = arena_strndup(mem, from, (size_t)(json->at - from));
        return true;
    case JSON_TEXT:
        if (!text_read(json, &text, err))
            return false;
        *out = text.data ? text.data : "";
        return true;
    case JSON_LIST:
    case JSON_OBJECT:
        break;
    }

    return fail(json, err, "expected a text or a number, and here is a list or an object");
}

/* --- lists and objects --- */

bool json_text_enter(struct json_text *json, struct err *err)
{
    if (json->level == JSON_LEVELS_MOST)
        return json_text_fail(json, ERR_TOO_LARGE, err,
                              "lists and objects lie more than 64 deep in each other");
    json->level++;
    json->at++;

    return true;
}

/* A comma and so on, or the end. */
static bool step(struct json_text *json, char close, bool *first, bool *more, struct err *err)
{
    bool was_first = *first;

    *first = false;
    if (!json_text_more(json))
        return fail(json, err, "the document ends in the middle");
    *more = *json->at != close;
    if (!*more) {
        json->at++;
        json->level--;
        return true;
    }
    if (was_first)
        return true;
    if (*json->at != ',')
        return fail(json, err, "expected a comma");
    json->at++;

    return json_text_more(json) || fail(json, err, "the document ends in the middle");
}

bool json_text_item(struct json_text *json, bool *first, bool *more, struct err *err)
{
    return step(json, ']', first, more, err);
}

bool json_text_member(struct json_text *json, struct arena *mem, bool *first, bool *more,
                      const char **key, struct err *err)
{
    struct buf text = buf_new(mem);

    if (!step(json, '}', first, more, err))
        return false;
    if (!*more)
        return true;
    if (*json->at != '"')
        return fail(json, err, "expected a key in quotes");
    if (!text_read(json, &text, err))
        return false;
    if (!json_text_more(json) || *json->at != ':')
        return fail(json, err, "expected a colon behind the key");
    json->at++;
    *key = text.data ? text.data : "";

    return true;
}

bool json_text_skip(struct json_text *json, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const int outside = json->level;
    bool is_object[JSON_LEVELS_MOST + 1] = {false};
    bool first = false;

    do {
        enum json_kind kind = JSON_NULL;
        bool more = true;
        const char *ignored;

        arena_reset(mem);
        /* At a value: step over it, or into it. */
        if (!json_text_kind(json, &kind, err))
            return false;
        if (kind == JSON_LIST || kind == JSON_OBJECT) {
            if (!json_text_enter(json, err))
                return false;
            is_object[json->level] = kind == JSON_OBJECT;
            first = true;
        } else if (!json_text_scalar(json, mem, &ignored, err)) {
            return false;
        }
        /* To the next value, out of what is at its end. */
        while (json->level > outside) {
            if (!(is_object[json->level] ? json_text_member(json, mem, &first, &more, &ignored, err)
                                         : json_text_item(json, &first, &more, err)))
                return false;
            if (more)
                break;
        }
    } while (json->level > outside);

    return true;
}

#include "base/json.h"

#include <assert.h>
#include <inttypes.h>
#include <string.h>

struct json_writer json_begin(struct buf *buf)
{
    return (struct json_writer){.buf = buf};
}

void json_end(const struct json_writer *json)
{
    assert(json->depth == 0 && json->written && !json->named);
}

static struct json_level *innermost(struct json_writer *json)
{
    return json->depth ? &json->levels[json->depth - 1] : NULL;
}

/* What comes before any value: a comma where one is due. */
static void before_value(struct json_writer *json)
{
    struct json_level *level = innermost(json);

    if (!level) {
        assert(!json->written);
        json->written = true;
        return;
    }
    assert(level->is_object == json->named);
    if (!level->is_object && level->has_items)
        buf_add_char(json->buf, ',');
    level->has_items = true;
    json->named = false;
}

static void open_level(struct json_writer *json, bool is_object)
{
    before_value(json);
    assert(json->depth < JSON_DEPTH_MOST);
    json->levels[json->depth++] = (struct json_level){.is_object = is_object};
    buf_add_char(json->buf, is_object ? '{' : '[');
}

static void close_level(struct json_writer *json, bool is_object)
{
    const struct json_level *level = innermost(json);

    assert(level && level->is_object == is_object && !json->named);
    json->depth--;
    buf_add_char(json->buf, is_object ? '}' : ']');
}

void json_put_object(struct json_writer *json)
{
    open_level(json, true);
}

void json_put_object_end(struct json_writer *json)
{
    close_level(json, true);
}

void json_put_array(struct json_writer *json)
{
    open_level(json, false);
}

void json_put_array_end(struct json_writer *json)
{
    close_level(json, false);
}

/* Bytes of the UTF-8 character at text (RFC 3629: shortest form, no surrogates), or 0. */
static size_t character_length(const unsigned char *text)
{
    static const struct {
        unsigned char first, last;            /* of the first byte */
        unsigned char second_from, second_to; /* of the second */
        size_t length;
    } forms[] = {
        {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3}, {0xe1, 0xec, 0x80, 0xbf, 3},
        {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3}, {0xf0, 0xf0, 0x90, 0xbf, 4},
        {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4},
    };

    if (*text < 0x80)
        return 1;
    for (size_t i = 0; i < ARRAY_LEN(forms); i++) {
        if (*text < forms[i].first || *text > forms[i].last)
            continue;
        if (text[1] < forms[i].second_from || text[1] > forms[i].second_to)
            return 0;
        for (size_t j = 2; j < forms[i].length; j++)
            if ((text[j] & 0xc0) != 0x80)
                return 0;

        return forms[i].length;
    }

    return 0;
}

static void add_escaped(struct buf *buf, unsigned char c)
{
    static const char plain[] = "\"\\\b\f\n\r\t";
    static const char letters[] = "\"\\bfnrt";
    const char *found = c ? strchr(plain, c) : NULL;

    if (found) {
        buf_add_char(buf, '\\');
        buf_add_char(buf, letters[found - plain]);
    } else {
        buf_addf(buf, "\\u%04x", c);
    }
}

static bool needs_escape(unsigned char c)
{
    return c < 0x20 || c == '"' || c == '\\' || c == 0x7f;
}

static void add_quoted(struct buf *buf, const char *text)
{
    const unsigned char *at = (const unsigned char *)text;

    buf_add_char(buf, '"');
    while (*at) {
        size_t length = character_length(at);

        if (length == 0)
            buf_add_text(buf, "\xef\xbf\xbd");
        else if (needs_escape(*at))
            add_escaped(buf, *at);
        else
            buf_add(buf, at, length);
        at += length ? length : 1;
    }
    buf_add_char(buf, '"');
}

void json_put_name(struct json_writer *json, const char *name)
{
    struct json_level *level = innermost(json);

    assert(level && level->is_object && !json->named);
    if (level->has_items)
        buf_add_char(json->buf, ',');
    add_quoted(json->buf, name);
    buf_add_char(json->buf, ':');
    json->named = true;
}

void json_put_text(struct json_writer *json, const char *text)
{
    if (!text) {
        json_put_null(json);
        return;
    }
    before_value(json);
    add_quoted(json->buf, text);
}

static const char *skip_digits(const char *at)
{
    return at + strspn(at, "0123456789");
}

/* Whether the text is a number of RFC 8259, section 6. */
static bool is_number(const char *text)
{
    const char *at = text + (*text == '-');
    const char *after = *at == '0' ? at + 1 : skip_digits(at);

    if (after == at)
        return false;
    if (*after == '.') {
        at = after + 1;
        after = skip_digits(at);
        if (after == at)
            return false;
    }
    if (*after == 'e' || *after == 'E') {
        at = after + 1 + (after[1] == '+' || after[1] == '-');
        after = skip_digits(at);
        if (after == at)
            return false;
    }

    return *after == '\0';
}

void json_put_number(struct json_writer *json, const char *digits)
{
    if (!digits) {
        json_put_null(json);
        return;
    }
    assert(is_number(digits));
    before_value(json);
    buf_add_text(json->buf, digits);
}

void json_put_json(struct json_writer *json, const char *document)
{
    if (!document) {
        json_put_null(json);
        return;
    }
    before_value(json);
    buf_add_text(json->buf, document);
}

void json_put_int(struct json_writer *json, int64_t value)
{
    before_value(json);
    buf_addf(json->buf, "%" PRId64, value);
}

void json_put_bool(struct json_writer *json, bool value)
{
    before_value(json);
    buf_add_text(json->buf, value ? "true" : "false");
}

void json_put_null(struct json_writer *json)
{
    before_value(json);
    buf_add_text(json->buf, "null");
}

void json_put_name_text(struct json_writer *json, const char *name, const char *text)
{
    json_put_name(json, name);
    json_put_text(json, text);
}

void json_put_name_number(struct json_writer *json, const char *name, const char *digits)
{
    json_put_name(json, name);
    json_put_number(json, digits);
}

void json_put_name_int(struct json_writer *json, const char *name, int64_t value)
{
    json_put_name(json, name);
    json_put_int(json, value);
}

void json_put_name_bool(struct json_writer *json, const char *name, bool value)
{
    json_put_name(json, name);
    json_put_bool(json, value);
}

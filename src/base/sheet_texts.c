#include "base/sheet_texts.h"

#include <stdlib.h>
#include <string.h>

#include "base/sheet.h"
#include "base/str.h"

struct texts_parse {
    struct arena *mem;
    struct sheet_texts texts;
    struct buf text; /* of the entry being read */
    size_t total;
    int phonetic; /* depth inside reading aids, which are no part of the text */
    bool in_text; /* inside t */
};

static bool texts_start(void *context, const char *name, const char *const *attributes,
                        struct err *err)
{
    struct texts_parse *parse = context;

    (void)attributes;
    (void)err;
    if (str_equal(name, "si"))
        buf_clear(&parse->text);
    else if (str_equal(name, "rPh"))
        parse->phonetic++;
    else if (str_equal(name, "t"))
        parse->in_text = parse->phonetic == 0;

    return true;
}

static bool texts_text(void *context, const char *text, size_t length, struct err *err)
{
    struct texts_parse *parse = context;

    if (!parse->in_text)
        return true;
    if (parse->text.len + length > SHEET_TEXT_MOST)
        return err_set(err, ERR_TOO_LARGE, "a text longer than %d bytes", SHEET_TEXT_MOST);
    buf_add(&parse->text, text, length);

    return true;
}

static bool texts_end(void *context, const char *name, struct err *err)
{
    struct texts_parse *parse = context;

    if (str_equal(name, "t"))
        parse->in_text = false;
    else if (str_equal(name, "rPh"))
        parse->phonetic--;
    if (!str_equal(name, "si"))
        return true;

    parse->total += parse->text.len + 1 + sizeof(char *);
    if (parse->total > SHEET_SHARED_MOST)
        return err_set(err, ERR_TOO_LARGE, "more than %d MB of texts",
                       SHEET_SHARED_MOST / (1024 * 1024));

    struct buf plain = buf_new(parse->mem);

    sheet_add_unescaped(&plain, parse->text.data);
    LIST_ADD(parse->mem, &parse->texts, plain.data);

    return true;
}

bool sheet_texts_read(struct arena *mem, struct sheet_package *package, const char *part,
                      struct sheet_texts *out, struct err *err)
{
    static const struct sheet_part_reader reader = {
        .start = texts_start, .end = texts_end, .text = texts_text};
    struct texts_parse parse = {.mem = mem, .text = buf_new(mem)};

    if (part && sheet_package_has(package, part) &&
        !sheet_package_read(package, part, &reader, &parse, err))
        return false;

    *out = parse.texts;

    return true;
}

/* The code of an escape _xHHHH_ at `text`, or -1. Halves of surrogates stay as they are. */
static long escape_code(const char *text)
{
    char digits[5] = {0};

    if (strncmp(text, "_x", 2) != 0 || strnlen(text, 7) < 7 || text[6] != '_')
        return -1;
    memcpy(digits, text + 2, 4);
    if (strspn(digits, "0123456789abcdefABCDEF") != 4)
        return -1;

    long code = strtol(digits, NULL, 16);

    return code == 0 || (code >= 0xD800 && code <= 0xDFFF) ? -1 : code;
}

static void add_code(struct buf *buf, long code)
{
    if (code >= 0x800) {
        buf_add_char(buf, (char)(0xE0 | (code >> 12)));
        buf_add_char(buf, (char)(0x80 | ((code >> 6) & 0x3F)));
        buf_add_char(buf, (char)(0x80 | (code & 0x3F)));
    } else if (code >= 0x80) {
        buf_add_char(buf, (char)(0xC0 | (code >> 6)));
        buf_add_char(buf, (char)(0x80 | (code & 0x3F)));
    } else {
        buf_add_char(buf, (char)code);
    }
}

void sheet_add_unescaped(struct buf *buf, const char *text)
{
    while (*text) {
        const char *escape = strstr(text, "_x");
        size_t plain = escape ? (size_t)(escape - text) : strlen(text);

        buf_add(buf, text, plain);
        text += plain;
        if (!escape)
            return;

        long code = escape_code(text);

        if (code >= 0)
            add_code(buf, code);
        else
            buf_add_char(buf, *text);
        text += code >= 0 ? 7 : 1;
    }
}

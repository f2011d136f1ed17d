#include "base/sheet_style.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/sheet_format.h"
#include "base/str.h"

/* Built-in number formats that show a date, a time or a span of time. */
static const struct range {
    long from;
    long to;
} date_formats[] = {{14, 22}, {27, 36}, {45, 47}, {50, 58}};

/* Built-in formats that show something else than the number stored (part 1, 18.8.30). */
static const struct percent {
    long id;
    const char *code;
} percents[] = {{9, "0%"}, {10, "0.00%"}};

struct custom_format {
    long id;
    const char *code;
};

struct custom_list {
    struct custom_format *items;
    size_t count;
    size_t capacity;
};

struct style_list {
    struct sheet_style *items;
    size_t count;
    size_t capacity;
};

struct style_parse {
    struct arena *mem;
    struct custom_list custom;
    struct style_list styles;
    bool inside; /* of cellXfs, whose xf a cell's s= counts */
};

/* [h], [mm] and the like: a span of time. Other brackets hold a colour, a condition, a locale. */
static bool is_elapsed(const char *open, size_t length)
{
    if (length == 0)
        return false;
    for (size_t i = 0; i < length; i++) {
        if (!strchr("hms", tolower((unsigned char)open[i])))
            return false;
    }

    return true;
}

bool sheet_format_is_date(const char *code)
{
    for (const char *c = code; *c; c++) {
        const char *end = NULL;

        if (*c == '"' || *c == '[') {
            end = strchr(c + 1, *c == '"' ? '"' : ']');
            if (!end)
                return false;
            if (*c == '[' && is_elapsed(c + 1, (size_t)(end - c - 1)))
                return true;
            c = end;
        } else if (strchr("\\_*", *c)) {
            if (c[1])
                c++;
        } else if (strchr("ymdhs", tolower((unsigned char)*c))) {
            return true;
        }
    }

    return false;
}

static struct sheet_style style_of(const struct style_parse *parse, long id)
{
    for (size_t i = 0; i < parse->custom.count; i++) {
        const char *code = parse->custom.items[i].code;

        if (parse->custom.items[i].id == id)
            return (struct sheet_style){sheet_format_is_date(code),
                                        sheet_format_is_plain(code) ? NULL : code};
    }
    for (size_t i = 0; i < ARRAY_LEN(date_formats); i++)
        if (id >= date_formats[i].from && id <= date_formats[i].to)
            return (struct sheet_style){.is_date = true};
    for (size_t i = 0; i < ARRAY_LEN(percents); i++)
        if (id == percents[i].id)
            return (struct sheet_style){.format = percents[i].code};

    return (struct sheet_style){0};
}

static bool style_start(void *context, const char *name, const char *const *attributes,
                        struct err *err)
{
    struct style_parse *parse = context;

    if (parse->custom.count > SHEET_STYLES_MOST || parse->styles.count > SHEET_STYLES_MOST)
        return err_set(err, ERR_TOO_LARGE, "more than %d styles", SHEET_STYLES_MOST);

    const char *id = sheet_attribute(attributes, "numFmtId");
    const char *code = sheet_attribute(attributes, "formatCode");

    if (str_equal(name, "cellXfs"))
        parse->inside = true;
    else if (str_equal(name, "numFmt") && id && code)
        LIST_ADD(parse->mem, &parse->custom,
                 ((struct custom_format){strtol(id, NULL, 10), arena_strdup(parse->mem, code)}));
    else if (str_equal(name, "xf") && parse->inside)
        LIST_ADD(parse->mem, &parse->styles, style_of(parse, id ? strtol(id, NULL, 10) : 0));

    return true;
}

static bool style_end(void *context, const char *name, struct err *err)
{
    struct style_parse *parse = context;

    (void)err;
    if (str_equal(name, "cellXfs"))
        parse->inside = false;

    return true;
}

bool sheet_styles_read(struct arena *mem, struct sheet_package *package, const char *part,
                       struct sheet_styles *out, struct err *err)
{
    static const struct sheet_part_reader reader = {.start = style_start, .end = style_end};
    struct style_parse parse = {.mem = mem};

    if (part && sheet_package_has(package, part) &&
        !sheet_package_read(package, part, &reader, &parse, err))
        return false;

    *out = (struct sheet_styles){.items = parse.styles.items, .count = parse.styles.count};

    return true;
}

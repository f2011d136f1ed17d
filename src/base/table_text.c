#include "base/table_text.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/buf.h"
#include "base/macro.h"
#include "base/utf8.h"

enum { GAP = 2, LAST_LEAST = 20, OWN_LINE_INDENT = 4 };

struct row {
    const char **cells;
};

struct table_text {
    struct arena *mem;
    const struct table_column *columns;
    size_t column_count;
    struct row *items;
    size_t count;
    size_t capacity;
};

/* Width of a column: before the decimal point, and from it on. */
struct extent {
    size_t before;
    size_t after;
};

struct range {
    uint32_t first;
    uint32_t last;
};

/* Characters that join the one before them (Unicode blocks of combining marks). */
static const struct range joining[] = {
    {0x0300, 0x036f}, {0x1ab0, 0x1aff}, {0x1dc0, 0x1dff}, {0x200b, 0x200f},
    {0x20d0, 0x20ff}, {0xfe00, 0xfe0f}, {0xfe20, 0xfe2f},
};

/* Characters two columns wide (Unicode Standard Annex 11, classes W and F, by block). */
static const struct range wide[] = {
    {0x1100, 0x115f}, {0x2e80, 0x303e},   {0x3041, 0x4dbf},   {0x4e00, 0xa4cf},
    {0xac00, 0xd7a3}, {0xf900, 0xfaff},   {0xfe30, 0xfe6f},   {0xff00, 0xff60},
    {0xffe0, 0xffe6}, {0x1f300, 0x1f64f}, {0x1f900, 0x1f9ff}, {0x20000, 0x3fffd},
};

static bool in_ranges(uint32_t character, const struct range *ranges, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (character >= ranges[i].first && character <= ranges[i].last)
            return true;

    return false;
}

static size_t character_width(uint32_t character)
{
    if (in_ranges(character, joining, ARRAY_LEN(joining)))
        return 0;

    return in_ranges(character, wide, ARRAY_LEN(wide)) ? 2 : 1;
}

/* Bytes of the next character; a byte that is no UTF-8 counts as a character of its own. */
static size_t next_character(const char *text, size_t left, uint32_t *character)
{
    size_t size = utf8_character(text, left, character);

    if (size > 0)
        return size;
    *character = (unsigned char)*text;

    return 1;
}

static size_t width_of(const char *text, size_t length)
{
    size_t width = 0;

    for (size_t i = 0; i < length;) {
        uint32_t character;

        i += next_character(text + i, length - i, &character);
        width += character_width(character);
    }

    return width;
}

size_t text_width(const char *text)
{
    return width_of(text, strlen(text));
}

/* A copy in which nothing can move a terminal's cursor. */
static const char *printable(struct arena *mem, const char *text)
{
    struct buf out = buf_new(mem);
    size_t length = strlen(text);

    for (size_t i = 0; i < length;) {
        uint32_t character;
        size_t size = utf8_character(text + i, length - i, &character);

        if (size == 0)
            buf_addf(&out, "\\x%02x", (unsigned char)text[i]);
        else if (character < 0x20 || utf8_unseen(character))
            buf_addf(&out, "\\u%04x", (unsigned)character);
        else
            buf_add(&out, text + i, size);
        i += size ? size : 1;
    }

    return out.data;
}

struct table_text *table_text_new(struct arena *mem, const struct table_column *columns,
                                  size_t count)
{
    struct table_text *table = ARENA_NEW(mem, struct table_text);

    table->mem = mem;
    table->columns = columns;
    table->column_count = count;

    return table;
}

void table_text_add(struct table_text *table, const char *const *cells)
{
    struct row row = {.cells = ARENA_ARRAY(table->mem, const char *, table->column_count)};

    for (size_t i = 0; i < table->column_count; i++)
        row.cells[i] = printable(table->mem, cells[i] ? cells[i] : "");
    LIST_ADD(table->mem, table, row);
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* How a cell divides at its decimal point; all of it is before where it has none. */
static struct extent cell_extent(const char *cell, enum table_align align)
{
    const char *point = align == TABLE_POINT ? strchr(cell, '.') : NULL;
    size_t length = strlen(cell);
    size_t before = point && is_digit(point[1]) ? (size_t)(point - cell) : length;

    return (struct extent){
        .before = width_of(cell, before),
        .after = width_of(cell + before, length - before),
    };
}

static size_t largest(size_t a, size_t b)
{
    return a > b ? a : b;
}

static struct extent column_extent(const struct table_text *table, size_t column)
{
    const struct table_column *about = &table->columns[column];
    struct extent extent = {0};

    for (size_t i = 0; i < table->count; i++) {
        struct extent cell = cell_extent(table->items[i].cells[column], about->align);

        extent.before = largest(extent.before, cell.before);
        extent.after = largest(extent.after, cell.after);
    }

    size_t heading = about->heading ? text_width(about->heading) : 0;

    if (heading > extent.before + extent.after)
        extent.before = heading - extent.after;

    return extent;
}

static void add_blanks(struct buf *out, size_t count)
{
    for (size_t i = 0; i < count; i++)
        buf_add_char(out, ' ');
}

/* A cell and the blanks around it. */
static void add_cell(struct buf *out, const char *cell, enum table_align align,
                     struct extent column)
{
    size_t width = column.before + column.after;
    struct extent own = cell_extent(cell, align);
    size_t left = 0;

    if (align == TABLE_RIGHT)
        left = width - own.before;
    else if (align == TABLE_POINT)
        left = column.before - own.before;
    add_blanks(out, left);
    buf_add_text(out, cell);
    add_blanks(out, width - left - own.before - own.after);
}

static void end_line(struct buf *out)
{
    while (out->len > 0 && out->data[out->len - 1] == ' ')
        out->data[--out->len] = '\0';
    buf_add_char(out, '\n');
}

/* Bytes of the text that fit the width, ending between two words where one does. */
static size_t fitting(const char *text, size_t width)
{
    size_t length = strlen(text);
    size_t taken = 0;
    size_t used = 0;
    size_t words = 0;

    while (taken < length) {
        uint32_t character;
        size_t size = next_character(text + taken, length - taken, &character);

        used += character_width(character);
        if (text[taken] == ' ')
            words = taken;
        if (used > width && taken > 0)
            return words > 0 ? words : taken;
        taken += size;
    }

    return length;
}

/* The last cell over as many lines as it needs, all but the first indented. */
static void add_wrapped(struct buf *out, const char *cell, size_t indent, size_t width)
{
    for (;;) {
        size_t length = fitting(cell, width);

        buf_add(out, cell, length);
        end_line(out);
        cell += length;
        while (*cell == ' ')
            cell++;
        if (!*cell)
            return;
        add_blanks(out, indent);
    }
}

/* Where the last column stands. */
struct last {
    size_t indent;
    size_t width;
    bool own_line;
    bool wraps;
};

static struct last last_place(const struct extent *extents, size_t count, size_t width)
{
    size_t before = 0;
    size_t natural = extents[count - 1].before + extents[count - 1].after;

    for (size_t i = 0; i + 1 < count; i++)
        before += extents[i].before + extents[i].after + GAP;
    if (before + natural <= width)
        return (struct last){.indent = before, .width = natural};
    if (before + LAST_LEAST <= width)
        return (struct last){.indent = before, .width = width - before, .wraps = true};

    return (struct last){.indent = OWN_LINE_INDENT,
                         .width = largest(width, OWN_LINE_INDENT + LAST_LEAST) - OWN_LINE_INDENT,
                         .own_line = true,
                         .wraps = true};
}

static void add_row(struct buf *out, const struct table_text *table, const char *const *cells,
                    const struct extent *extents, const struct last *last, bool headings)
{
    size_t count = table->column_count;

    for (size_t i = 0; i < count; i++) {
        enum table_align align = table->columns[i].align;

        if (headings && align == TABLE_POINT)
            align = TABLE_RIGHT;
        if (i + 1 == count && last->own_line) {
            if (!*cells[i])
                break;
            end_line(out);
            add_blanks(out, last->indent);
        }
        if (i + 1 == count && last->wraps) {
            add_wrapped(out, cells[i], last->indent, last->width);
            return;
        }
        add_cell(out, cells[i], align, extents[i]);
        if (i + 1 < count)
            add_blanks(out, GAP);
    }
    end_line(out);
}

char *table_text_draw(struct arena *mem, const struct table_text *table, size_t width)
{
    struct buf out = buf_new(mem);
    size_t count = table->column_count;
    struct extent *extents = ARENA_ARRAY(mem, struct extent, count);
    const char **headings = ARENA_ARRAY(mem, const char *, count);
    bool any_heading = false;

    for (size_t i = 0; i < count; i++) {
        extents[i] = column_extent(table, i);
        headings[i] = table->columns[i].heading ? table->columns[i].heading : "";
        any_heading = any_heading || *headings[i];
    }

    struct last last = last_place(extents, count, width);

    if (any_heading)
        add_row(&out, table, headings, extents, &last, true);
    for (size_t i = 0; i < table->count; i++)
        add_row(&out, table, table->items[i].cells, extents, &last, false);

    return out.data;
}

/* Of workbook.h: the looks of cells, number formats and references. */
#include "base/buf.h"
#include "base/str.h"
#include "report/workbook.h"
#include "report/workbook_inside.h"

static void set_rule(lxw_format *format, enum style_rule rule)
{
    switch (rule) {
    case RULE_HAIR:
        format_set_bottom(format, LXW_BORDER_HAIR);
        format_set_bottom_color(format, COLOUR_RULE);
        break;
    case RULE_THIN:
        format_set_bottom(format, LXW_BORDER_THIN);
        format_set_bottom_color(format, COLOUR_INK);
        break;
    case RULE_ACCENT:
        format_set_bottom(format, LXW_BORDER_MEDIUM);
        format_set_bottom_color(format, COLOUR_ACCENT);
        break;
    case RULE_BOX:
        format_set_border(format, LXW_BORDER_THIN);
        format_set_border_color(format, COLOUR_ACCENT);
        break;
    case RULE_NONE:
        break;
    }
}

static lxw_format *make_format(struct book *book, enum style style, const char *number)
{
    static const uint8_t aligns[] = {[ALIGN_LEFT] = LXW_ALIGN_LEFT,
                                     [ALIGN_RIGHT] = LXW_ALIGN_RIGHT,
                                     [ALIGN_CENTRE] = LXW_ALIGN_CENTER};
    const struct style_look *look = style_look(style);
    lxw_format *format = workbook_add_format(book->file);

    format_set_font_name(format, look->serif ? style_serif : style_sans);
    format_set_font_size(format, look->size);
    format_set_font_color(format, look->serif                            ? COLOUR_ACCENT
                                  : look->italic || style == STYLE_SMALL ? COLOUR_SOFT
                                                                         : COLOUR_INK);
    if (look->bold)
        format_set_bold(format);
    if (look->italic)
        format_set_italic(format);
    if (look->wrap)
        format_set_text_wrap(format);
    if (style == STYLE_ONE_LINE)
        format_set_shrink(format);
    format_set_align(format, aligns[look->align]);
    if (look->indent > 0)
        format_set_indent(format, (uint8_t)look->indent);
    format_set_align(format, look->at_bottom          ? LXW_ALIGN_VERTICAL_BOTTOM
                             : look->rule == RULE_BOX ? LXW_ALIGN_VERTICAL_CENTER
                                                      : LXW_ALIGN_VERTICAL_TOP);
    set_rule(format, look->rule);
    if (number)
        format_set_num_format(format, number);

    return format;
}

lxw_format *book_format(struct book *book, enum style style, const char *number)
{
    for (size_t i = 0; i < book->formats.count; i++) {
        const struct known_format *known = &book->formats.items[i];

        if (known->style == style && str_equal(known->number, number))
            return known->format;
    }

    struct known_format made = {.style = style,
                                .number = arena_strdup(book->mem, number),
                                .format = make_format(book, style, number)};

    LIST_ADD(book->mem, &book->formats, made);

    return made.format;
}

const char *book_number_format(struct arena *mem, char mark, int decimals, int pad_to)
{
    struct buf format = buf_new(mem);

    if (mark != '=')
        buf_addf(&format, "\"%c\"", mark);
    buf_add_char(&format, '0');
    for (int i = 0; i < decimals; i++)
        buf_add_text(&format, i == 0 ? ".0" : "0");
    for (int i = decimals > 0 ? decimals : 0; i < pad_to; i++)
        buf_add_text(&format, i == 0 ? "_._0" : "_0");

    return format.data;
}

const char *page_name(const struct page *page)
{
    return page->name;
}

static const char *letters_of(struct arena *mem, uint32_t column)
{
    char letters[LXW_MAX_COL_NAME_LENGTH] = {0};

    lxw_col_to_name(letters, (lxw_col_t)column, 0);

    return arena_strdup(mem, letters);
}

const char *book_cell(struct arena *mem, uint32_t row, uint32_t column)
{
    return arena_printf(mem, "$%s$%u", letters_of(mem, column), row + 1);
}

const char *book_range(struct arena *mem, const struct page *page, uint32_t first_row,
                       uint32_t last_row, uint32_t column)
{
    const char *first = book_cell(mem, first_row, column);

    if (first_row == last_row)
        return arena_printf(mem, "'%s'!%s", page->name, first);

    return arena_printf(mem, "'%s'!%s:%s", page->name, first, book_cell(mem, last_row, column));
}

#include "report/workbook.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "base/utf8.h"
#include "report/workbook_inside.h"

/* Stands at the end of a text that was too long for its cell. */
static const char cut_words[] = " ... (cut: a cell holds no more)";

void book_fail(struct book *book, enum err_code code, const char *fmt, ...)
{
    char text[300];
    va_list arguments;

    if (book->err.code != ERR_NONE)
        return;
    va_start(arguments, fmt);
    vsnprintf(text, sizeof(text), fmt, arguments);
    va_end(arguments);
    err_set(&book->err, code, "%s", text);
}

void book_answer(struct page *page, lxw_error answer, uint32_t row, uint32_t column)
{
    if (answer == LXW_NO_ERROR)
        return;
    book_fail(page->book, ERR_BUG, "sheet %s, row %u, column %u: %s", page->name, row + 1,
              column + 1, lxw_strerror(answer));
}

/* ---- cells ---- */

/* Whether a cell can be written there; keeps an error where it can't. */
static bool fits(struct page *page, uint32_t row, uint32_t column)
{
    if (page->book->err.code != ERR_NONE)
        return false;
    if (row < BOOK_ROWS_MOST && column < BOOK_COLUMNS_MOST)
        return true;
    book_fail(page->book, ERR_TOO_LARGE, "sheet %s: row %u is more than a sheet holds", page->name,
              row + 1);

    return false;
}

/* A low line that is not to be read as the beginning of an escape. */
static const char escaped_line[] = "_x005F_";

static bool is_escape(const char *text)
{
    return strnlen(text, 7) == 7 && text[1] == 'x' && text[6] == '_' &&
           strspn(text + 2, "0123456789abcdefABCDEF") == 4;
}

/*
 * A text as the file may hold it: whole characters of UTF-8, at most BOOK_TEXT_MOST, lines ended
 * by a line feed alone, and what looks like an escape of the format written as one. `length` is
 * how long it is once it is read.
 */
static const char *fit_text(struct book *book, const char *text, size_t *length)
{
    size_t left = strlen(text);
    size_t characters = 0;
    size_t escapes = 0;
    size_t cut_escapes = 0;
    const size_t room = BOOK_TEXT_MOST - strlen(cut_words);
    size_t cut_at = 0;
    struct buf out = buf_new(book->mem);

    while (left > 0) {
        uint32_t character = 0;
        size_t bytes = utf8_character(text, left, &character);

        if (characters >= BOOK_TEXT_MOST) {
            out.len = cut_at;
            out.data[cut_at] = '\0';
            escapes = cut_escapes;
            buf_add_text(&out, cut_words);
            book->cut++;
            break;
        }
        if (characters <= room) {
            cut_at = out.len;
            cut_escapes = escapes;
        }
        if (*text == '_' && is_escape(text)) {
            buf_add_text(&out, escaped_line);
            escapes++;
        } else if (*text == '\r') {
            if (left == 1 || text[1] != '\n')
                buf_add_char(&out, '\n');
        } else if (bytes == 0 || character == 0xFFFE || character == 0xFFFF) {
            buf_add_text(&out, "\xEF\xBF\xBD");
        } else {
            buf_add(&out, text, bytes);
        }
        /* The program that opens the file counts in UTF-16. */
        characters += character > 0xFFFF ? 2 : 1;
        bytes = bytes == 0 ? 1 : bytes;
        text += bytes;
        left -= bytes;
    }
    *length = out.len - escapes * (strlen(escaped_line) - 1);

    return out.data;
}

void page_text(struct page *page, uint32_t row, uint32_t column, enum style style, const char *text)
{
    if (!fits(page, row, column))
        return;

    lxw_format *format = book_format(page->book, style, NULL);

    if (str_empty(text)) {
        book_answer(page, worksheet_write_blank(page->sheet, row, (lxw_col_t)column, format), row,
                    column);
        return;
    }

    size_t length;

    text = fit_text(page->book, text, &length);
    book_answer(page, worksheet_write_string(page->sheet, row, (lxw_col_t)column, text, format),
                row, column);
    page->sum.cells++;
    page->sum.text_bytes += length;
}

static bool is_number(struct page *page, uint32_t row, uint32_t column, double value)
{
    if (isfinite(value))
        return true;
    book_fail(page->book, ERR_BUG, "sheet %s, row %u, column %u: a number that is none", page->name,
              row + 1, column + 1);

    return false;
}

static void count_number(struct page *page, double value)
{
    page->sum.cells++;
    page->sum.numbers += value;
    page->sum.sizes += fabs(value);
}

void page_number(struct page *page, uint32_t row, uint32_t column, enum style style,
                 const char *format, double value)
{
    if (!fits(page, row, column) || !is_number(page, row, column, value))
        return;
    book_answer(page,
                worksheet_write_number(page->sheet, row, (lxw_col_t)column, value,
                                       book_format(page->book, style, format)),
                row, column);
    count_number(page, value);
}

static bool formula_fits(struct page *page, uint32_t row, uint32_t column, const char *formula)
{
    if (!fits(page, row, column))
        return false;
    if (*formula == '=' && strlen(formula) <= BOOK_FORMULA_MOST)
        return true;
    book_fail(page->book, ERR_BUG, "sheet %s, row %u, column %u: no formula: %.60s", page->name,
              row + 1, column + 1, formula);

    return false;
}

void page_formula(struct page *page, uint32_t row, uint32_t column, enum style style,
                  const char *format, const char *formula, double value)
{
    if (!formula_fits(page, row, column, formula) || !is_number(page, row, column, value))
        return;
    book_answer(page,
                worksheet_write_formula_num(page->sheet, row, (lxw_col_t)column, formula,
                                            book_format(page->book, style, format), value),
                row, column);
    count_number(page, value);
}

void page_formula_text(struct page *page, uint32_t row, uint32_t column, enum style style,
                       const char *formula, const char *value)
{
    if (!formula_fits(page, row, column, formula))
        return;
    book_answer(page,
                worksheet_write_formula_str(page->sheet, row, (lxw_col_t)column, formula,
                                            book_format(page->book, style, NULL), value),
                row, column);
    page->sum.cells++;
    page->sum.text_bytes += strlen(value);
}

void page_join(struct page *page, uint32_t row, uint32_t first, uint32_t last, enum style style)
{
    if (!fits(page, row, last))
        return;

    lxw_format *format = book_format(page->book, style, NULL);

    for (uint32_t column = first; column <= last; column++)
        worksheet_write_blank(page->sheet, row, (lxw_col_t)column, format);
    if (last > first)
        book_answer(page,
                    worksheet_merge_range(page->sheet, row, (lxw_col_t)first, row, (lxw_col_t)last,
                                          "", format),
                    row, first);
}

void page_row_height(struct page *page, uint32_t row, double points)
{
    if (fits(page, row, 0))
        book_answer(page, worksheet_set_row(page->sheet, row, points, NULL), row, 0);
}

void page_show_outside(struct page *page, uint32_t first_row, uint32_t first_column,
                       uint32_t last_row, uint32_t last_column)
{
    struct book *book = page->book;

    if (!fits(page, last_row, last_column))
        return;
    if (!book->outside) {
        book->outside = workbook_add_format(book->file);
        format_set_bold(book->outside);
        format_set_font_color(book->outside, COLOUR_OUTSIDE);
    }

    lxw_conditional_format condition = {
        .type = LXW_CONDITIONAL_TYPE_TEXT,
        .criteria = LXW_CONDITIONAL_CRITERIA_TEXT_CONTAINING,
        .value_string = (char[]){"outside"},
        .format = book->outside,
    };

    book_answer(page,
                worksheet_conditional_format_range(page->sheet, first_row, (lxw_col_t)first_column,
                                                   last_row, (lxw_col_t)last_column, &condition),
                first_row, first_column);
}

void page_print_area(struct page *page, uint32_t last_row, uint32_t last_column)
{
    if (fits(page, last_row, last_column))
        book_answer(page, worksheet_print_area(page->sheet, 0, 0, last_row, (lxw_col_t)last_column),
                    last_row, last_column);
}

void page_breaks(struct page *page, const uint32_t *rows, size_t count)
{
    lxw_row_t *breaks = ARENA_ARRAY(page->book->mem, lxw_row_t, count + 1);

    for (size_t i = 0; i < count; i++)
        breaks[i] = rows[i];
    if (count > 0 && fits(page, rows[count - 1], 0))
        book_answer(page, worksheet_set_h_pagebreaks(page->sheet, breaks), rows[0], 0);
}

void page_filter(struct page *page, uint32_t first_row, uint32_t first_column, uint32_t last_row,
                 uint32_t last_column)
{
    if (fits(page, last_row, last_column))
        book_answer(page,
                    worksheet_autofilter(page->sheet, first_row, (lxw_col_t)first_column, last_row,
                                         (lxw_col_t)last_column),
                    first_row, first_column);
}

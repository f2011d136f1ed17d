/*
 * Workbook: a thin layer over libxlsxwriter for workbooks that people file.
 *
 * What it adds to the library: a text is always a text, also when it begins with = + - @; a NaN
 * or an infinity is refused (the library would write an invalid file); a text is cut at what a
 * cell can hold, with words that say so; nothing is published that our own reader did not read
 * back as it was meant; the same cells give the same bytes.
 *
 * The first thing that goes wrong is kept, later calls do nothing, and book_publish() tells
 * it: so a page is written without a check on every line.
 *
 *     if (!book_new(mem, "march.xlsx", &about, &book, &err))
 *         return false;
 *     page = book_page(book, "Month", &setup);
 *     page_text(page, 0, 0, STYLE_TITLE, "March");
 *     return book_publish(book, &digest, &err);
 *
 * Functions say book_ because the library has the longer word. Rows and columns count from 0, as
 * the library has them. A whole workbook is held in memory (about 150 bytes a cell): a month of
 * ten-minute readings of ten limits is some 100 MB. A caller that limits file sizes must ignore
 * SIGXFSZ.
 */
#ifndef REPORT_WORKBOOK_H
#define REPORT_WORKBOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/crypto.h"
#include "base/decimal.h"
#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"
#include "report/style.h"

enum {
    BOOK_ROWS_MOST = 1048576,
    BOOK_COLUMNS_MOST = 16384,
    BOOK_TEXT_MOST = 32767,   /* characters in a cell */
    BOOK_FORMULA_MOST = 8192, /* characters */
    BOOK_NAME_MOST = 31,      /* characters in a sheet's name */
};

struct book;
struct page; /* one sheet of it */

/* A property of the file that a program can read without opening the sheets. */
struct book_property {
    const char *name;
    const char *value; /* at most 255 characters */
};

struct book_about {
    const char *title;
    const char *subject;
    const char *author;
    const char *comments;
    instant made_at; /* stands in the file as its time of creation */
    const struct book_property *properties;
    size_t property_count;
};

/*
 * Begin a workbook that will be at `path`; until it is published its bytes lie in PATH.tmp.
 * It lives in mem.
 *
 * ERR_UNAVAILABLE, ERR_DENIED, ERR_NOT_FOUND: the folder can't be written.
 */
MUST_CHECK bool book_new(struct arena *mem, const char *path, const struct book_about *about,
                         struct book **out, struct err *err);

/* For CLEANUP: forget a workbook that was not published, leaving nothing behind. */
void book_drop(struct book **book);

/*
 * Close the file, read it back (sheets, cells, texts, sums of numbers), bring it to the disk and
 * move it to its path. `digest` is that of its bytes.
 *
 * ERR_UNAVAILABLE: the disk is full, or what was read back is not what was written.
 * ERR_TOO_LARGE: more than a sheet holds. ERR_BUG: a number that is none, a bad sheet name.
 * Nothing is left at the path that was not there before, and no PATH.tmp.
 */
MUST_CHECK bool book_publish(struct book *book, struct digest *digest, struct err *err);

/* How many texts had to be cut so far. */
size_t book_cut_texts(const struct book *book);

/* ---- pages ---- */

struct page_setup {
    bool landscape;
    bool not_fitted;      /* to the paper's width: it fits as it is, and breaks by page_breaks() */
    const double *widths; /* of the columns, in characters */
    size_t width_count;
    int frozen_rows;         /* rows at the top that stay, and are printed on each page; 0 none */
    int title_row;           /* first of the rows printed on each page, when some are frozen */
    const char *footer_left; /* beside page numbers; "INVENTED" stands here. NULL none */
    const char *footer_middle;
};

struct page *book_page(struct book *book, const char *name, const struct page_setup *setup);
const char *page_name(const struct page *page);

/* A text cell; NULL or "" is an empty cell with the style's rules. */
void page_text(struct page *page, uint32_t row, uint32_t column, enum style style,
               const char *text);

/* `format` is a number format of the file ("0.00"), NULL for the general one. */
void page_number(struct page *page, uint32_t row, uint32_t column, enum style style,
                 const char *format, double value);

/* A formula, "=A1*2", with the value it has. */
void page_formula(struct page *page, uint32_t row, uint32_t column, enum style style,
                  const char *format, const char *formula, double value);
void page_formula_text(struct page *page, uint32_t row, uint32_t column, enum style style,
                       const char *formula, const char *value);

/* Join the cells first..last of a row; write the first of them afterwards. */
void page_join(struct page *page, uint32_t row, uint32_t first, uint32_t last, enum style style);

/* Height of a row in points. */
void page_row_height(struct page *page, uint32_t row, double points);

/* Cells of the range whose words begin with "outside" get its colour. */
void page_show_outside(struct page *page, uint32_t first_row, uint32_t first_column,
                       uint32_t last_row, uint32_t last_column);

/* Print no more than the rows and columns up to these. */
void page_print_area(struct page *page, uint32_t last_row, uint32_t last_column);

/*
 * Begin a new printed page before each of these rows. On a sheet that is fitted to the paper some
 * programs leave them out.
 */
void page_breaks(struct page *page, const uint32_t *rows, size_t count);

void page_filter(struct page *page, uint32_t first_row, uint32_t first_column, uint32_t last_row,
                 uint32_t last_column);

/* ---- numbers and references ---- */

/*
 * A number format that shows so many decimals, a mark ('<', '>', or '=' for none) in front, and
 * room after it up to `pad_to` decimals, so that points stand under each other. "" is never
 * returned; decimals below 0 count as 0.
 */
const char *book_number_format(struct arena *mem, char mark, int decimals, int pad_to);

#define BOOK_DAY_FORMAT "yyyy-mm-dd"
#define BOOK_MOMENT_FORMAT "yyyy-mm-dd hh:mm"

/* "$B$5"; "'Daily'!$B$5:$B$35" (first == last gives one cell). */
const char *book_cell(struct arena *mem, uint32_t row, uint32_t column);
const char *book_range(struct arena *mem, const struct page *page, uint32_t first_row,
                       uint32_t last_row, uint32_t column);

#endif

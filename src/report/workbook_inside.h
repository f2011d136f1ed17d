/*
 * The inside of a workbook, for the two modules that know libxlsxwriter: workbook and chart.
 */
#ifndef REPORT_WORKBOOK_INSIDE_H
#define REPORT_WORKBOOK_INSIDE_H

#include <xlsxwriter.h>

#include "report/workbook.h"

/* What a sheet must hold when it is read back. */
struct page_sum {
    size_t cells;
    size_t text_bytes;
    double numbers; /* sum, in the order of writing */
    double sizes;   /* sum of absolute values: what the sum's error is measured by */
};

struct page {
    struct book *book;
    const char *name;
    lxw_worksheet *sheet;
    struct page_sum sum;
};

struct page_place {
    struct page *page;
};

struct page_list {
    struct page_place *items;
    size_t count;
    size_t capacity;
};

struct known_format {
    enum style style;
    const char *number; /* NULL: general */
    lxw_format *format;
};

struct known_format_list {
    struct known_format *items;
    size_t count;
    size_t capacity;
};

struct book {
    struct arena *mem;
    const char *path;
    const char *temporary;
    const char *folder;
    lxw_workbook *file; /* NULL once closed */
    struct page_list pages;
    struct known_format_list formats;
    lxw_format *outside;
    size_t cut;
    bool published;
    struct err err; /* the first thing that went wrong */
};

/* Keep the first error. */
void book_fail(struct book *book, enum err_code code, const char *fmt, ...) PRINTF_LIKE(3, 4);

/* The format of a style and a number format (NULL: general); made once. */
lxw_format *book_format(struct book *book, enum style style, const char *number);

/* The library's answer to a write, kept as an error when it is one. */
void book_answer(struct page *page, lxw_error answer, uint32_t row, uint32_t column);

#endif

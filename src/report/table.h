/*
 * Table: rows on a page, written by the keys of its definition's columns. Like the workbook under
 * it, it keeps what goes wrong until the workbook is published.
 *
 * A row is as tall as its longest text needs, joined cells counted (which no spreadsheet program
 * does by itself).
 */
#ifndef REPORT_TABLE_H
#define REPORT_TABLE_H

#include "report/definition.h"
#include "report/workbook.h"

struct table {
    struct page *page;
    const struct report_sheet *sheet;
    const struct report_table *definition;
    uint32_t first_row; /* under its headings */
    uint32_t row;       /* being written */
    int lines;          /* that it needs */
    uint32_t joined;    /* columns joined so far, bit by bit, so that none is joined twice */
};

/*
 * Begin: a heading (NULL: its own, where it has one) and the headings of its columns from `row`
 * on. Rows follow. A missing definition is kept as ERR_BUG.
 */
struct table table_begin(struct page *page, const struct report_sheet *sheet, const char *key,
                         uint32_t row, const char *heading);

/* The same without any heading, for the labels and values at the head of a page. */
struct table table_begin_bare(struct page *page, const struct report_sheet *sheet, const char *key,
                              uint32_t row);

/* Cells of the current row. A cell not written stays empty, with its rules. */
void table_text(struct table *table, const char *key, const char *text);
void table_number(struct table *table, const char *key, const char *format, double value);
void table_formula(struct table *table, const char *key, const char *format, const char *formula,
                   double value);
void table_formula_text(struct table *table, const char *key, const char *formula,
                        const char *value);

/* Go on to the next row: its height, its empty cells' rules. */
void table_next(struct table *table);

/* End: a table that got no row says so, in its `empty`. */
void table_end(struct table *table);

/* The same, and readers may filter the rows where there are some. */
void table_end_filtered(struct table *table);

/* A row with one text over all columns. */
void table_line(struct table *table, enum style style, const char *text);

/* Where a column stands: sheet column, from 0. */
uint32_t table_at(const struct table *table, const char *key);

#endif

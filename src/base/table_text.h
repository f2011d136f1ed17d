/*
 * Text table: rows and columns as plain text for the command line.
 *
 * Columns stand two spaces apart, as wide as their widest cell. What does not fit the width is
 * wrapped in the last column; where too little room is left beside the others, the last column
 * goes on lines of its own below each row. Only a table whose other columns alone are too wide
 * sticks out. Widths are counted by the character as terminals show them (accents that join,
 * wide letters of East Asia). Control characters are shown by their number, never sent.
 *
 *     struct table_text *table = table_text_new(mem, columns, ARRAY_LEN(columns));
 *
 *     TABLE_TEXT_ADD(table, "Solids", "31.5", "outside: above 30");
 *     fputs(table_text_draw(mem, table, TABLE_TEXT_WIDTH), stdout);
 */
#ifndef BASE_TABLE_TEXT_H
#define BASE_TABLE_TEXT_H

#include <stddef.h>

#include "base/arena.h"

enum { TABLE_TEXT_WIDTH = 80 };

enum table_align {
    TABLE_LEFT,
    TABLE_RIGHT,
    TABLE_POINT, /* numbers one under another by their decimal point: 0.05, <0.05, 2420 */
};

struct table_column {
    const char *heading; /* NULL for none; no heading at all, no line of headings */
    enum table_align align;
};

struct table_text;

/* The columns must outlive the table. */
struct table_text *table_text_new(struct arena *mem, const struct table_column *columns,
                                  size_t count);

/* One row: as many cells as columns; NULL is empty. The cells are copied. */
void table_text_add(struct table_text *table, const char *const *cells);

#define TABLE_TEXT_ADD(table, ...) table_text_add((table), (const char *const[]){__VA_ARGS__})

/* The lines, each with its line end and without blanks at it. */
char *table_text_draw(struct arena *mem, const struct table_text *table, size_t width);

/* Columns a terminal takes to show a text. */
size_t text_width(const char *text);

#endif

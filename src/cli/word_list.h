/*
 * Word list: rows of cells that people read as a table of 80 columns and machines as JSON.
 */
#ifndef CLI_WORD_LIST_H
#define CLI_WORD_LIST_H

#include "cli/cli.h"

enum { WORD_LIST_COLUMNS_MOST = 6 };

struct word_column {
    const char *name;   /* in JSON, and over the table */
    const char *before; /* what joins it to the cells before it; NULL: a column of its own */
    const char *unsaid; /* the cell that goes without saying to people; NULL none */
};

struct word_row {
    const char *cells[WORD_LIST_COLUMNS_MOST]; /* NULL or "": nothing */
};

struct word_list {
    const char *title;
    const char *remark; /* below it, or NULL */
    const struct word_column *columns;
    size_t column_count;
    struct word_row *items;
    size_t count;
    size_t capacity;
};

struct word_lists {
    struct word_list *items;
    size_t count;
    size_t capacity;
};

void word_lists_say(struct cli *cli, const struct word_lists *lists);

#endif

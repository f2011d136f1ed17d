/*
 * Definition: a workbook's look as data, from reports/NAME/report.yaml, which the build puts into
 * the program: sheets with their widths and print set-up, tables with their columns, texts. What
 * stands in the rows is put there by code that asks for a column by its key.
 */
#ifndef REPORT_DEFINITION_H
#define REPORT_DEFINITION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "report/style.h"

enum { DEFINITION_COLUMNS_MOST = 32 };

struct report_column {
    const char *key;
    const char *heading;
    uint32_t at; /* column of the sheet, from 0 */
    uint32_t to; /* last column it is joined over */
    enum style style;
    const char *format; /* number format of the file, or NULL */
};

struct report_table {
    const char *key;
    const char *heading; /* of the part of the page it is; "" none */
    const char *empty;   /* what is said when it has no rows; "" nothing */
    const struct report_column *columns;
    size_t count;
};

struct report_sheet {
    const char *key;
    const char *name;
    bool landscape;
    bool not_fitted;      /* printed as wide as it is, not shrunk to the paper */
    int frozen;           /* rows that stay at the top and on each printed page */
    const double *widths; /* in characters */
    size_t width_count;
    const struct report_table *tables;
    size_t count;
};

/* A text by its key; a list of pairs, as a data dictionary, has the key in both. */
struct report_text {
    const char *key;
    const char *text;
};

struct report_definition {
    const char *title;
    const struct report_sheet *sheets;
    size_t sheet_count;
    const struct report_text *texts;
    size_t text_count;
    const struct report_text *dictionary; /* heading and what stands under it, in order */
    size_t dictionary_count;
    const char *const *cautions; /* a paragraph each */
    size_t caution_count;
};

/*
 * The definition of that name; it lives in mem.
 *
 * ERR_NOT_FOUND: there is no such report. ERR_BUG: its file is wrong, with line and column.
 */
MUST_CHECK bool definition_load(struct arena *mem, const char *name, struct report_definition *out,
                                struct err *err);

/* The same from a text, for tests. */
MUST_CHECK bool definition_parse(struct arena *mem, const char *text, size_t length,
                                 struct report_definition *out, struct err *err);

/* NULL when there is none of that key. */
const struct report_sheet *definition_sheet(const struct report_definition *definition,
                                            const char *key);
const struct report_table *definition_table(const struct report_sheet *sheet, const char *key);
const struct report_column *definition_column(const struct report_table *table, const char *key);
const char *definition_text(const struct report_definition *definition, const char *key);

#endif

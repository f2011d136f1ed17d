/*
 * Sniff table: which of the rows of an unknown file is its header, which are units, remarks or the
 * header once more, and which are data.
 */
#ifndef INGEST_SNIFF_TABLE_H
#define INGEST_SNIFF_TABLE_H

#include "base/err.h"
#include "base/macro.h"
#include "ingest/sniff_sample.h"

enum { SNIFF_UNIT_ROWS_MOST = 3, SNIFF_REMARKS_MOST = 8 };

struct sniff_column {
    const char *name; /* the whole header; "" where it has none */
    const char *bare; /* without the unit behind it */
    const char *unit; /* behind the name or in a row of units; NULL none */
    bool unit_in_row; /* from a row of units */
    bool may_lack;    /* a header half-way is without it, or has it first */
    bool is_twice;    /* another column has the same name */
    size_t filled;    /* data rows with something in it */
    size_t numbers;   /* of them: a number, with or without a sign for less than */
    size_t times;     /* of them: what looks like a date or a time */
};

struct sniff_table {
    int32_t header_line; /* of two rows the lower one */
    int header_rows;     /* 2: names stand above names (ingest/header_rows.h) */
    size_t rows_above;   /* of the header: titles and the like */
    int lines_after;     /* rows of units and the like right behind it */
    size_t header_repeats;
    int32_t changed_line; /* of the first header with other columns; 0: none */
    struct sniff_column *columns;
    size_t column_count;
    struct sniff_rows above;
    struct sniff_rows data;
    const char *remarks[SNIFF_REMARKS_MOST]; /* what rows that are no data begin with */
    size_t remark_count;
    size_t remark_rows;
};

/* ERR_INVALID: no row that names columns, or no data behind it; says what to do. */
MUST_CHECK bool sniff_table_find(struct arena *mem, const struct sniff_rows *rows,
                                 struct sniff_table *out, struct err *err);

/* "12.5", "-3", "<0,05", "1e-3". */
bool sniff_is_number(const char *text);

/* Digits with "/", "-", ":" or "." between, or a month's name: a date, a time of day or both. */
bool sniff_is_time(const char *text);

/* Letters and digits alone, in lower case: "dissolvedoxygen" of "Dissolved-Oxygen". */
char *sniff_plain(struct arena *mem, const char *text);

#endif

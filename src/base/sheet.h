/*
 * Sheet: read an XLSX workbook (ECMA-376, transitional or strict) cell by cell.
 *
 * It reads what is stored and works nothing out: a formula comes with the value the writing
 * program left beside it, or without one. Cells come in order: sheet by sheet as the workbook
 * lists them, row by row. Nothing of a sheet is held in memory but the texts its cells share.
 *
 * Workbooks come from strangers. Limits are named here and in sheet_package.h; a workbook over
 * one, with a DOCTYPE, or that contradicts itself is refused as a whole, with a reason.
 */
#ifndef BASE_SHEET_H
#define BASE_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

enum {
    SHEET_ROWS_MOST = 1048576,
    SHEET_COLUMNS_MOST = 16384,
    SHEET_TEXT_MOST = 128 * 1024,         /* bytes of one cell, text or formula */
    SHEET_SHARED_MOST = 64 * 1024 * 1024, /* bytes of all texts that cells share */
    SHEET_SHEETS_MOST = 1000,
};

enum sheet_kind {
    SHEET_NOTHING, /* a formula without a stored value: never to be taken for zero */
    SHEET_NUMBER,
    SHEET_TEXT,
    SHEET_BOOLEAN,  /* `number` is 0 or 1 */
    SHEET_ERROR,    /* `text` is "#DIV/0!" and the like */
    SHEET_ISO_DATE, /* `text` is an ISO 8601 date or time, as the strict form stores it */
};

struct sheet_info {
    const char *name;
    size_t index; /* 0.. in the workbook's order */
    bool hidden;
};

struct sheet_cell {
    const struct sheet_info *sheet;
    uint32_t row;    /* 1.. */
    uint32_t column; /* 1.. */
    bool row_hidden;
    enum sheet_kind kind;
    const char *text; /* as stored: the digits of a number, too; never NULL */
    double number;
    bool is_date;        /* a number shown as a date or a time: see sheet_serial */
    const char *format;  /* code of a number's format, for sheet_format_show; NULL plain */
    const char *formula; /* without "="; "" where it is shared with another cell; NULL none */
};

/*
 * What is called while a workbook is read; either may be NULL. All that they are given is gone
 * afterwards. A function that returns false has filled the error and ends the reading.
 */
struct sheet_events {
    bool (*sheet)(void *context, const struct sheet_info *sheet, struct err *err);
    bool (*cell)(void *context, const struct sheet_cell *cell, struct err *err);
};

/*
 * ERR_INVALID: not a workbook, damaged, or at odds with itself; says in which part.
 * ERR_TOO_LARGE: over a limit. ERR_NOT_FOUND, ERR_DENIED, ERR_UNAVAILABLE: of the path.
 *
 * `counts_from_1904`: whether the workbook's dates do, for sheet_serial; may be NULL. It is set
 * before the first cell comes.
 */
MUST_CHECK bool sheet_read(const char *path, const struct sheet_events *events, void *context,
                           bool *counts_from_1904, struct err *err);

/* The same of an open file, from its start; it stays open. Errors name the part alone. */
MUST_CHECK bool sheet_read_file(FILE *file, const struct sheet_events *events, void *context,
                                bool *counts_from_1904, struct err *err);

/*
 * What a date number shows on the wall, to the nearest millisecond. A number below 1 is a time of
 * day: its date is 1899-12-31 (or 1904-01-01). 60, the 29 February 1900 that never was, and
 * numbers outside the years 1900 to 9999 are false.
 */
bool sheet_serial(double number, bool counts_from_1904, struct civil *out);

/* The other way, for 1900-03-01 and later, counting from 1900. */
double sheet_serial_from_civil(const struct civil *civil);

#endif

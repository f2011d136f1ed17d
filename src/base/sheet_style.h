/*
 * Sheet style: how a cell's number is shown, as a date or otherwise. Helper of base/sheet.
 *
 * In XLSX a date is a number whose style has a date format: one of the built-in numbers of
 * ECMA-376 part 1, 18.8.30, or a format code with the letters of a date outside quotes.
 */
#ifndef BASE_SHEET_STYLE_H
#define BASE_SHEET_STYLE_H

#include "base/arena.h"
#include "base/err.h"
#include "base/sheet_package.h"

enum { SHEET_STYLES_MOST = 65536 };

struct sheet_style {
    bool is_date;
    const char *format; /* its code; NULL: one that shows a number as it is stored */
};

struct sheet_styles {
    struct sheet_style *items; /* by the number a cell's s= names */
    size_t count;
};

/* A workbook without a styles part shows no dates. */
MUST_CHECK bool sheet_styles_read(struct arena *mem, struct sheet_package *package,
                                  const char *part, struct sheet_styles *out, struct err *err);

/* yyyy-mm-dd and [h]:mm are dates; 0.00" mg/day" and [Red]0.0 are not. */
bool sheet_format_is_date(const char *code);

#endif

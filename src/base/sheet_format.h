/*
 * Sheet format: what a person sees of a number in a workbook, where that is not the number stored.
 *
 * A number format (ECMA-376 part 1, 18.8.31) can show 0.95 as 95%, 12000 as 12, 0.5 as <0.5, 0 as
 * ND, or nothing at all. Rounding, grouping, fractions, colours and widths don't change what a
 * number says and are not looked at. Dates are base/sheet_style's.
 */
#ifndef BASE_SHEET_FORMAT_H
#define BASE_SHEET_FORMAT_H

#include <stdbool.h>

#include "base/arena.h"

enum sheet_show {
    SHEET_SHOW_STORED, /* the number as it is stored */
    SHEET_SHOW_TEXT,   /* `text` */
    SHEET_SHOW_OTHER,  /* something else: `why` */
};

struct sheet_shown {
    enum sheet_show show;
    const char *text; /* "95", "<0.5", "ND": with a decimal point */
    const char *unit; /* what stands behind the number: "%", "mg/L", "day"; NULL nothing */
    const char *why;  /* "its format hides it": lower case, no full stop */
};

/* Whether the format shows every number as it is stored, so that it need not be asked. */
bool sheet_format_is_plain(const char *code);

/* The number as the format code shows it; NULL is the general format. Texts live in `mem`. */
struct sheet_shown sheet_format_show(struct arena *mem, const char *code, double number);

#endif

/*
 * Place: where in a file a row is, as one number that is kept with each reading.
 *
 * Of text it is the line, from 1. Of a workbook it is the sheet, from 0, times the rows a sheet
 * may have, and the row, from 1: so places of one workbook go up as it is read.
 */
#ifndef INGEST_PLACE_H
#define INGEST_PLACE_H

#include <stdint.h>

#include "base/arena.h"

enum { PLACE_SHEET_ROWS = 1048576 };

struct place_sheet {
    int32_t number;
    const char *name;
};

/* Sheets of one workbook; none for a file that is no workbook. */
struct place_sheets {
    const struct place_sheet *items;
    size_t count;
};

int32_t place_of(int32_t sheet, uint32_t row);
int32_t place_sheet(int32_t line);
int32_t place_row(int32_t line);

/* The name of the sheet that a place lies in; NULL of a file that is no workbook. */
const char *place_sheet_name(const struct place_sheets *sheets, int32_t line);

/*
 * "line 14", "line 14, column 3", or of a workbook "sheet Results, row 14" and "sheet Results,
 * cell C14"; column 0: the whole row.
 */
char *place_text(struct arena *mem, const struct place_sheets *sheets, int32_t line,
                 int32_t column);

#endif

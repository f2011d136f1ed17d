/*
 * Cells of a workbook as texts, and a workbook's bytes in a file that can be read from its end.
 */
#ifndef INGEST_WORKBOOK_CELL_H
#define INGEST_WORKBOOK_CELL_H

#include <stdio.h>

#include "base/sheet.h"
#include "ingest/csv.h"
#include "ingest/source_read.h"

/*
 * What a cell says, in `mem`: numbers with the 15 digits a spreadsheet shows and this decimal mark,
 * as their format shows them (base/sheet_format: 0.95 as 95 with the unit %); a date as
 * TIME_FORMAT_CELL, a time of day as hh:mm:ss; a formula without a value as "=...".
 */
struct csv_cell workbook_cell_read(struct arena *mem, const struct sheet_cell *cell,
                                   bool counts_from_1904, char decimal);

/*
 * The bytes in a file without a name, since a zip is read from its end.
 *
 * ERR_TOO_LARGE: over WORKBOOK_BYTES_MOST.
 */
MUST_CHECK bool workbook_spool(struct arena *mem, const struct ingest_bytes *bytes, FILE **out,
                               struct err *err);
void workbook_spool_close(FILE **spool); /* for CLEANUP; fine on NULL */

#endif

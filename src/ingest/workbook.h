/*
 * Reading an XLSX workbook by its source: each sheet's rows become rows of cells, and go the way
 * of a CSV file's (ingest/grid.h).
 *
 * Sheets: those the source names; else every one that has the header. The header is on the line
 * the source tells, or the first row with all columns, so that titles may stand above it.
 *
 * Cells are taken as the workbook stores them. A date is written as TIME_FORMAT_CELL, counted
 * from 1900 or 1904 as the workbook says, and needs no time format. A number that a spreadsheet
 * worked out may have 17 digits of which it shows 15: so many are kept. A formula brings the value
 * that was stored beside it; without one it is set aside, never worked out and never zero. Hidden
 * rows and sheets are taken, or left where the source says so, and told either way.
 *
 * The place of a row is of sheet and row (ingest/place.h).
 */
#ifndef INGEST_WORKBOOK_H
#define INGEST_WORKBOOK_H

#include "ingest/source_read.h"

enum { WORKBOOK_BYTES_MOST = 268435456 /* of the file as it came */ };

/*
 * ERR_INVALID: no workbook, a damaged one, a sheet that is named and not there, no sheet with the
 * header, or what csv_header_read() refuses; ERR_TOO_LARGE: over a limit here or in base/sheet.
 */
MUST_CHECK bool workbook_read(const struct source *source, const struct ingest_world *world,
                              const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                              struct ingest_counts *counts, struct err *err);

#endif

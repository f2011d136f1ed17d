/*
 * A row's shape: cells where the header has none, a row that was cut off, bytes that are no text.
 */
#ifndef INGEST_CSV_SHAPE_H
#define INGEST_CSV_SHAPE_H

#include "ingest/csv_reader.h"
#include "ingest/csv_time.h"

/* The first trouble of the whole row, with its cell or CELL_NONE; else both stay as they are. */
void csv_shape_check(const struct csv_reader *reader, const struct csv_row *row,
                     const struct row_time *time, struct trouble *trouble, size_t *cell);

#endif

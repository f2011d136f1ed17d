/*
 * Cells of a workbook that show something else than they hold: what a person sees counts, and where
 * that can't be told, or is in another unit than the source reads, the value is set aside.
 */
#ifndef INGEST_CELL_SHOWN_H
#define INGEST_CELL_SHOWN_H

#include "ingest/csv_reader.h"

/*
 * Hold a value that was read against what its cell shows; what is wrong becomes its trouble. `cell`
 * may be CELL_NONE or beyond the row; `parameter` may be NULL.
 */
void cell_shown_check(struct csv_reader *reader, const struct csv_row *row, size_t cell,
                      const struct parameter *parameter, struct csv_value *value);

#endif

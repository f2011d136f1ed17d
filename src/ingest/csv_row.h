/*
 * CSV rows: a row of a file to drafts, blanks and problems; each value of it becomes exactly one
 * of the three.
 */
#ifndef INGEST_CSV_ROW_H
#define INGEST_CSV_ROW_H

#include "ingest/csv_reader.h"
#include "ingest/csv_time.h"

/* False only when the sink was, or the file has too many series. */
MUST_CHECK bool csv_row_take(struct csv_reader *reader, const struct csv_row *row,
                             const struct row_time *time, struct err *err);

#endif

/*
 * Rows of which no value can be told: lines that can't be divided into cells, and rows under a
 * header that the source does not know. Each is set aside, a wide file's once for every cell that
 * may hold a value, so that reading it again, by a source that has learnt, finds each in its place.
 */
#ifndef INGEST_ROW_ASIDE_H
#define INGEST_ROW_ASIDE_H

#include "ingest/csv_reader.h"
#include "ingest/csv_time.h"

/* A row with a fault. False only when the sink was. */
MUST_CHECK bool row_aside_fault(struct csv_reader *reader, const struct csv_row *row,
                                struct err *err);

/* A row under the header that `reader->unknown` tells of. False only when the sink was. */
MUST_CHECK bool row_aside_unknown(struct csv_reader *reader, const struct csv_row *row,
                                  const struct row_time *time, struct err *err);

#endif

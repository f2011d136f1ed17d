/*
 * Reading a CSV file by its source: bytes in, drafts and problems out. Memory is flat: nothing
 * of the file is kept but the line at hand (and, in the hour that comes twice, its rows).
 *
 * A bad row never stops a good one. What stops the whole file, with nothing taken in, is an
 * error with line and column: no header line, a mapped column that the header lacks (with the
 * near match), a header twice, a column that the source neither maps nor ignores (listed), a
 * binary file, an empty file. Half-way such a header sets aside what is behind it (csv_again.h).
 */
#ifndef INGEST_CSV_SOURCE_H
#define INGEST_CSV_SOURCE_H

#include "ingest/source_read.h"

MUST_CHECK bool csv_source_read(const struct source *source, const struct ingest_world *world,
                                const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                                struct ingest_counts *counts, struct err *err);

#endif

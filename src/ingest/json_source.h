/*
 * Reading a JSON document by its source: each record becomes a row of cells, and goes the way of
 * a CSV file's row (ingest/csv_reader.h).
 *
 * The document is a list of records; or the list lies at the source's `records`, keys with dots
 * between; or the document is many values, one behind the other, each a record or a document of
 * its own (as files with one JSON value a line are). A key inside a record is named with the
 * keys around it, dots between: "result.temp"; the items of a list are 0, 1, 2.
 *
 * A key that a record lacks, and null, are blank. Numbers keep their digits as written. A value's
 * place is its line and the byte of that line at which it begins. The document is held in memory;
 * limits are in json_text.h.
 */
#ifndef INGEST_JSON_SOURCE_H
#define INGEST_JSON_SOURCE_H

#include "ingest/source_read.h"

/*
 * ERR_INVALID: no JSON (with line and column); no list at `records`; a record that is no object; a
 * key twice in a record; a key that the source neither maps nor ignores; a mapped key that no
 * record has. ERR_TOO_LARGE: over a limit.
 */
MUST_CHECK bool json_source_read(const struct source *source, const struct ingest_world *world,
                                 const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                                 struct ingest_counts *counts, struct err *err);

#endif

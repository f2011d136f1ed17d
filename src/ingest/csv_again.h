/*
 * A header that comes again half-way: the same one, one with other columns, or one that the source
 * does not know, and the rows of units behind it.
 *
 * Nothing behind a header is ever read by the columns of the one before it. Where the source does
 * not know what stands there, `reader->unknown` says so, and every row is set aside until a header
 * comes that it knows.
 */
#ifndef INGEST_CSV_AGAIN_H
#define INGEST_CSV_AGAIN_H

#include "ingest/csv_reader.h"

/*
 * The header at hand, word for word: its units may be told anew by the rows behind it. False only
 * when the sink was.
 */
MUST_CHECK bool csv_again_repeat(struct csv_reader *reader, struct err *err);

/*
 * A row under a header of two rows: *taken says that it was one of them again. Only both of them,
 * one right behind the other, are the header. False only when the sink was.
 */
MUST_CHECK bool csv_again_pair(struct csv_reader *reader, const struct csv_row *row, bool *taken,
                               struct err *err);

/*
 * A row without a readable time: *taken says that it was a header or a row of units, and is done.
 * It is a header when the header of the times stands in it; or when none of its cells is a number
 * and two of them bear names of columns or units in brackets (one, where there are two columns);
 * or when it has as many words as the header, each another, and none that values are written as.
 *
 * ERR_TOO_LARGE: over HEADERS_MOST. Else false only when the sink was.
 */
MUST_CHECK bool csv_again_take(struct csv_reader *reader, const struct csv_row *row, bool *taken,
                               struct err *err);

/* A row of data: no more rows of units come. */
void csv_again_data(struct csv_reader *reader);

#endif

/*
 * What a person typed in place of what a row says: the row is read with it, and keeps its place.
 */
#ifndef INGEST_ROW_TYPED_H
#define INGEST_ROW_TYPED_H

#include "ingest/csv_reader.h"

/* Texts are NULL where nothing was typed; they are our own words, not those of the file. */
struct row_typed {
    int32_t line;
    int32_t column;    /* of the value, in a wide file or a JSON document; else 0 */
    const char *value; /* "12.5", "<0.05", with a decimal point; or a state */
    const char *station;
    const char *parameter;
    const char *unit;
    const char *sample;
    instant at; /* INSTANT_NONE: as the row says */
};

/* Whether this is the row that something was typed for. */
bool row_typed_fits(const struct csv_reader *reader, const struct csv_row *row);

/* Take the row as it then reads. False only when the sink was, or the file has too many series. */
MUST_CHECK bool row_typed_take(struct csv_reader *reader, const struct csv_row *row,
                               struct err *err);

#endif

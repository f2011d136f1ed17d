/*
 * CSV time: the instant or span of a row, by the source's clock, and what is wrong with it.
 */
#ifndef INGEST_CSV_TIME_H
#define INGEST_CSV_TIME_H

#include "ingest/csv_reader.h"

struct row_time {
    struct trouble trouble;
    size_t cell; /* of the trouble */
    instant at;  /* with trouble: near enough for telling the day, or INSTANT_NONE */
    instant until;
    bool is_two; /* two instants show it; `two` has them */
    instant two[2];
};

/* Read the time of a row. With `is_two` the trouble says that it can't be told. */
void csv_time_read(struct csv_reader *reader, const struct csv_row *row, struct row_time *out);

/* The row was found to be at this instant: settle the time that was read. */
void csv_time_place(struct csv_reader *reader, const struct csv_row *row, instant at,
                    struct row_time *time);

/* The text of a field, without blanks around it; "" where the row or the file has no such cell. */
const char *csv_field_text(struct csv_reader *reader, const struct csv_row *row,
                           enum csv_field field);

#endif

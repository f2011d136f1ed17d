/*
 * CSV order: which of two instants a row means whose local time came twice that day.
 *
 * The order of the rows can tell: a file that runs through the hour twice goes back once (or, the
 * newest row first, forward once), and the rows on either side of that turn are the two
 * passes. So rows of such an hour wait, sequence by sequence (a station, or a series of a long
 * file), until the file has left the hour. Where the rows around do not run one way, where there
 * is no turn or more than one, or where too many would have to wait, it can't be told.
 */
#ifndef INGEST_CSV_ORDER_H
#define INGEST_CSV_ORDER_H

#include "base/instant.h"
#include "ingest/csv.h"

enum {
    ORDER_SEQUENCES_MOST = 10000,
    ORDER_ROWS_MOST = 20000, /* waiting at the same time, two hours of a row each second and more */
    ORDER_BYTES_MOST = 33554432,
    ORDER_STEPS = 4, /* the last steps before the hour that must all go the same way */
};

struct csv_order;

/*
 * `place` takes each row that waited, in the order of the file within its sequence: at the instant
 * found, or INSTANT_NONE where it can't be told.
 */
struct csv_order *csv_order_new(struct arena *mem, void *context,
                                bool (*place)(void *context, const struct csv_row *row, instant at,
                                              struct err *err));

/* Let go of what waits; for the end, also after an error. */
void csv_order_done(struct csv_order *order);

/* A row of the sequence stands at a known instant: what waited is placed. */
MUST_CHECK bool csv_order_step(struct csv_order *order, const char *sequence, instant at,
                               struct err *err);

/* A row of the sequence stands at two instants, the earlier one first: it is copied and waits. */
MUST_CHECK bool csv_order_wait(struct csv_order *order, const char *sequence,
                               const struct csv_row *row, const instant two[2], struct err *err);

/* The file is at its end: what still waits is placed. */
MUST_CHECK bool csv_order_end(struct csv_order *order, struct err *err);

#endif

/*
 * Grid: rows of cells, whatever kind of file they are from, from the header on: the header
 * itself, the rows of units behind it, and then the rows of data.
 */
#ifndef INGEST_GRID_H
#define INGEST_GRID_H

#include "ingest/csv_reader.h"

enum { HEADER_LINES_MOST = 200 }; /* looked through for a header whose line is not told */

struct grid {
    struct csv_reader reader;
    bool has_header;
    int rows_to_skip; /* right behind the header: units and the like */
    struct header_names
        upper; /* of a header of two rows: the row above the first one handed over */
};

/* Errors of csv_reader_start(). `source` and `world` must outlive it. */
MUST_CHECK bool grid_start(struct grid *grid, struct arena *mem, const struct source *source,
                           const struct ingest_world *world, const struct ingest_sink *sink,
                           struct ingest_counts *counts, struct err *err);

void grid_done(struct grid *grid);

/*
 * The first row is the header, then come units, then data: a row that reads as data is never passed
 * over as one of units. Errors of csv_header_read().
 */
MUST_CHECK bool grid_row(struct grid *grid, const struct csv_row *row, struct err *err);

/* The names above the header that comes, copied from `names`. */
void grid_set_upper(struct grid *grid, const struct header_names *names);

/* What waits is placed; the next row is a header again: of another sheet. */
MUST_CHECK bool grid_next(struct grid *grid, struct err *err);

/* No more rows. */
MUST_CHECK bool grid_end(struct grid *grid, struct err *err);

#endif

/*
 * Headers of two rows: "Outlet" over "Temp" and "DO", "Tank 1" over the same again. A column's name
 * is then "Outlet / Temp": the upper name goes on to the right over cells that are empty, as under
 * a merged title, and " / " stands between. Where the lower cell is empty the upper name stands
 * alone, and where nothing is above, the lower one.
 */
#ifndef INGEST_HEADER_ROWS_H
#define INGEST_HEADER_ROWS_H

#include "ingest/csv.h"

/* Texts of cells, trimmed. */
struct header_names {
    const char **items;
    size_t count;
};

/* Copies, in `mem`. */
struct header_names header_names_of(struct arena *mem, const struct csv_row *row);

/* The names of the columns under both rows; with an empty upper row they are the lower one's. */
struct header_names header_names_join(struct arena *mem, const struct header_names *upper,
                                      const struct header_names *lower);

/* `row` with these names as its cells, in `mem`. */
struct csv_row header_row_of(struct arena *mem, const struct csv_row *row,
                             const struct header_names *names);

/* Whether the row's first `count` cells say these very names, blanks around them aside. */
bool header_names_repeat(const struct header_names *names, const struct csv_row *row, size_t count);

#endif

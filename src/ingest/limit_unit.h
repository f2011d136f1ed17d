/*
 * Limits of a result, told in a unit of their own: a limit is stored in the unit of its value.
 */
#ifndef INGEST_LIMIT_UNIT_H
#define INGEST_LIMIT_UNIT_H

#include "ingest/csv_reader.h"

struct limit_cells {
    const char *detection; /* as its cell says, or brought to the value's unit */
    const char *quantitation;
    struct trouble trouble; /* of the row where it tells a limit; no words: nothing is wrong */
};

/*
 * The limits of a long row whose value is in `unit` (NULL, or with trouble: not known, and the
 * cells stay as they are). 50 ug/L beside mg/L is 0.05, exactly; a unit that is none of the
 * parameter's, or a limit that has no such digits in the value's unit, is trouble.
 */
struct limit_cells limit_unit_read(struct csv_reader *reader, const struct csv_row *row,
                                   const struct parameter *parameter, const struct csv_unit *unit);

#endif

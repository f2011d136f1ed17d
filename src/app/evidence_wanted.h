/*
 * Which series the limits of a span look at, and how far beyond the span, so that no more than
 * that is read from the store.
 */
#ifndef APP_EVIDENCE_WANTED_H
#define APP_EVIDENCE_WANTED_H

#include "app/clauses.h"
#include "store/series_store.h"

/* What is read; each station and parameter once. */
struct wanted_read {
    const char *station;
    const char *parameter;
};

struct evidence_wanted {
    struct wanted_read *items;
    size_t count;
    size_t capacity;
    int before_s;    /* the furthest that a reading may lie before the span and count */
    int after_s;     /* and after it */
    bool span_moves; /* a composite may belong to another day than the one it began in */
    /* What is worked out of the rest, in the order of the farm file: what it is made of is read. */
    const struct derivation **derived;
    size_t derived_count;
};

/*
 * Of the limits in force in first..last, and the forms before them that are judged too. The
 * outlets and meters of all discharge points are read with them, or, with `points_of_limits`,
 * only those of the stations that a limit is about.
 */
struct evidence_wanted evidence_wanted_of(struct arena *mem, const struct farm *farm,
                                          const struct clause_limits *limits, day_number first,
                                          day_number last, bool points_of_limits);

bool evidence_wants(const struct evidence_wanted *wanted, const struct series_row *row);

#endif

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
    day_number first; /* the days that a limit looks at */
    day_number last;
    int before_s;    /* the furthest that a reading may lie before them and count */
    int after_s;     /* and after them */
    size_t samples;  /* how many before the span are looked at too; 0: none */
    bool by_day;     /* ... or days */
    bool skips_days; /* and a clause may let a day that has a reading not count */
    bool span_moves; /* a composite may belong to another day than the one it began in */
};

struct evidence_wanted {
    struct wanted_read *items;
    size_t count;
    size_t capacity;
    /* What is worked out of the rest, in the order of the farm file: what it is made of is read. */
    const struct derivation **derived;
    size_t derived_count;
};

/*
 * Of the limits in force in first..last, and the forms before them that are judged too: over every
 * period of theirs that lies in these days or meets them, as far as it reaches. The outlets and
 * meters of all discharge points are read with them, or, with `points_of_limits`, only those of the
 * stations that a limit is about.
 */
struct evidence_wanted evidence_wanted_of(struct arena *mem, const struct farm *farm,
                                          const struct clause_limits *limits, day_number first,
                                          day_number last, bool points_of_limits);

/* What a series is read for; NULL: nothing. */
struct wanted_read *evidence_wants(const struct evidence_wanted *wanted,
                                   const struct series_row *row);

/* When a series is read: first <= t < until. */
struct wanted_span {
    instant first;
    instant until;
    bool reaches_over; /* states hold and counters differ: its readings next to it belong too ... */
};

/* ... as far as these days away. */
enum { NEIGHBOUR_DAYS = 400 };

/* From when to when a series of such a read is read; `kind` is one of enum limit_kinds. */
struct wanted_span evidence_wanted_span(const struct farm *farm, const struct wanted_read *read,
                                        unsigned kind);

/* Whether such readings are read at all; a NULL is not known and fits any. */
bool evidence_wants_place(const struct evidence_wanted *wanted, const char *station,
                          const char *parameter);

/* The days of all that is read of a station, first..last and more. */
void evidence_wanted_days(const struct evidence_wanted *wanted, const char *station,
                          day_number *first, day_number *last);

/* Read the outlets and meters of discharge points as far as the readings of their stations. */
void evidence_wanted_points(struct evidence_wanted *wanted, const struct farm *farm);

#endif

/*
 * Outlet rows: rows set aside that may be of the outlet's record: a word that can't be read, rows
 * that contradict each other, a station misspelt. From its instant on such a row may have opened or
 * shut the outlet, until the next sound word of the record, or as long as a state holds.
 *
 * A row is of no use to clear anything: in such a span a sample is in doubt, whether the record
 * says open or shut, and it is not established that nothing was discharged.
 */
#ifndef JUDGE_OUTLET_ROWS_H
#define JUDGE_OUTLET_ROWS_H

#include "judge/evidence.h"

/* A row and how long it may have said something; one of no known time may at any. */
struct outlet_row {
    size_t row; /* of evidence.set_aside */
    instant from;
    instant until; /* without it */
    bool may_open; /* its word is "open", or can't be read */
    bool may_shut;
};

struct outlet_rows {
    struct outlet_row *items;
    size_t count;
    size_t capacity;
};

/* Those of the outlet of evidence->outlet_series, or where that is -1 of the place it names. */
struct outlet_rows outlet_rows_of(struct arena *mem, const struct evidence *evidence);

/* Whether one of them may say otherwise at an instant, at which the record says shut or not. */
bool outlet_rows_may_turn(const struct outlet_rows *rows, instant at, bool shut);

/* Whether one of them may have opened (else: shut) the outlet in from..until. */
bool outlet_rows_reach(const struct outlet_rows *rows, instant from, instant until, bool open);

/* Why what goes by the outlet is in doubt, for people. */
extern const char outlet_rows_doubt[];

#endif

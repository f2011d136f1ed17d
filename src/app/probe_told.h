/*
 * Probes told: what visits to probes and the answers to them did to readings of a span, as a report
 * lists it beside corrections.
 */
#ifndef APP_PROBE_TOLD_H
#define APP_PROBE_TOLD_H

#include "app/probe_book.h"

/* An answer, a gap that a visit found, or a visit that was withdrawn. */
struct probe_told {
    struct probe_act act;
    const char *station; /* NULL: a field meter that goes about */
    instant after;
    instant until;
    const char *what; /* "read by Oxygen probe (serial number PX-1)" */
    const char *done; /* "corrected by up to -0.22 mg/L, visit 3 of 20 May 2026" */
    instant made_at;
    const char *person;
    const char *second_person; /* or NULL */
    const char *reason;
    const char *agree; /* the command by which a second person agrees; NULL: none */
};

struct probe_tolds {
    struct probe_told *items;
    size_t count;
    size_t capacity;
};

/* Those that reach into first <= t < until, by track and time. */
MUST_CHECK bool probe_told(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                           instant first, instant until, struct probe_tolds *out, struct err *err);

#endif

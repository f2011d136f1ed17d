/*
 * Acts undone: the records of a month as they would be had some of what persons did to them not
 * been done: values corrected, left out or put back, rows set aside that were
 * answered, and answers to visits to probes.
 */
#ifndef APP_ACTS_UNDONE_H
#define APP_ACTS_UNDONE_H

#include "store/aside_store.h"
#include "store/correction_store.h"
#include "store/reading_view.h"

/* An answer to a visit to a probe, or the gap that it found; or that the visit was withdrawn. */
struct probe_act {
    int visit;
    const char *parameter;
    bool withdrawal;
};

struct acts_undone {
    struct correction_views views;  /* of the month, oldest first */
    const bool *view_undone;        /* one a view */
    struct aside_answers answers;   /* in order of receipt and place */
    const bool *answer_undone;      /* one an answer */
    const struct probe_act *probes; /* those that are undone (probe_book.h) */
    size_t probe_count;
};

/* The reading as what is left of its corrections makes it; `out` may hold texts of `undone`. */
void acts_undone_view(const struct acts_undone *undone, const struct reading_view *stored,
                      struct reading_view *out);

/* Whether the row's answer is undone, so that it waits again. */
bool acts_undone_row(const struct acts_undone *undone, const struct aside_row *row);

/* Whether what was answered to that visit, or the gap that it found, is undone. */
bool acts_undone_probe(const struct acts_undone *undone, int visit, const char *parameter);

/* Whether the visit's withdrawal is undone, so that what it says of the parameter stands. */
bool acts_undone_withdrawal(const struct acts_undone *undone, int visit, const char *parameter);

#endif

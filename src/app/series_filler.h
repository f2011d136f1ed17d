/*
 * Filling evidence series from stored readings, row by row as they come from the server.
 */
#ifndef APP_SERIES_FILLER_H
#define APP_SERIES_FILLER_H

#include "app/acts_undone.h"
#include "app/doubt_meeting.h"
#include "app/probe_book.h"
#include "judge/evidence.h"
#include "store/aside_store.h"
#include "store/document_store.h"
#include "store/reading_store.h"
#include "store/reading_view.h"
#include "store/series_store.h"

struct filler_series {
    const struct series_row *row;
    struct evidence_reading *items;
    size_t count;
    size_t capacity;
    const struct probe_series *probe; /* whose readings they are; NULL: of none on record */
    bool probe_known;
};

struct filler {
    struct arena *mem;
    const struct units *unit_table; /* for corrections of probes; NULL: those in doubt */
    struct filler_series *series;   /* sorted by series_id */
    size_t series_count;
    size_t at; /* the one that came last */
    struct reading_tolds told;
    struct doubt_index doubts;
    struct probe_book book;
    instant first; /* of the span that was asked for */
    instant until;
    struct portion_rows portions;
    struct result_checks checks; /* by sample, the newest last */
    struct aside_typeds typed;   /* in order of place */
    const bool *typed_by_line;   /* beside `typed`: the row is found by its line alone */
    const char *units[64];       /* each spelling once */
    size_t unit_count;
    const struct acts_undone *undone; /* NULL: readings as they stand */
    size_t rows;                      /* that came in all */
};

/* What is in doubt of readings with first <= t < until; before they are added. */
MUST_CHECK bool filler_doubts(struct filler *filler, struct db_tx *tx, const struct farm *farm,
                              instant first, instant until, struct err *err);

/* What people did beside readings: what was checked against its certificate, or typed. */
MUST_CHECK bool filler_beside(struct filler *filler, struct db_tx *tx, const struct farm *farm,
                              instant first, instant until, struct err *err);

/* For reading_view_list(). */
bool filler_add(void *context, const struct reading_view *view, struct err *err);

/* The series as judging takes them, in the order of `rows`. */
struct evidence_series *filler_series_of(const struct filler *filler,
                                         const struct series_row *const *rows, size_t count);

/* "grab" and so on as one of enum limit_kinds; 0 for others. */
unsigned kind_bit(const char *kind);

#endif

/*
 * Probe book: of each instrument of the farm file and each parameter that is checked of it, the
 * visits on record, what stands in doubt by them, and what persons answered. And what all that
 * makes of stored readings: in doubt, corrected, or a gap.
 *
 * Rules by visits: trust/probe_spans.h. Which instrument read a series: farm_instrument_reads().
 */
#ifndef APP_PROBE_BOOK_H
#define APP_PROBE_BOOK_H

#include "app/acts_undone.h"
#include "app/open_farm.h"
#include "judge/evidence.h"
#include "store/doubt_store.h"
#include "store/probe_store.h"
#include "store/series_store.h"

/* One parameter of one instrument. */
struct probe_track {
    const struct farm_instrument *instrument;
    const struct farm_instrument_check *check;
    struct probe_rule rule;
    const struct probe_visit *visits;    /* that stand, in order of time */
    const struct probe_visit_row **rows; /* beside them */
    const struct probe_check_row **checks;
    size_t count;
    struct probe_issues issues; /* all of them */
    struct probe_issues left;   /* those that no answer settles */
    const struct probe_answer_row **answers;
    size_t answer_count;
};

struct probe_book {
    struct arena *mem;
    const struct farm *farm;
    struct probe_visit_rows visits; /* withdrawn ones too */
    struct probe_track *tracks;
    size_t count;
};

/* With an empty list of instruments nothing is read. */
MUST_CHECK bool probe_book_load(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                struct probe_book *out, struct err *err);

/* The same with some acts undone (or NULL): a visit whose withdrawal is stands. */
MUST_CHECK bool probe_book_load_undone(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                       const struct acts_undone *undone, struct probe_book *out,
                                       struct err *err);

/* NULL: not an instrument of the farm file, or its parameter is not checked. */
const struct probe_track *probe_book_track(const struct probe_book *book, const char *instrument,
                                           const char *parameter);

/* The visit of that number; NULL: there is none. */
const struct probe_visit_row *probe_book_visit(const struct probe_book *book, int visit);

/* Whether the track's instrument may have read the series. */
bool probe_track_reads(const struct probe_book *book, const struct probe_track *track,
                       const struct series_row *series);

/* "probe-4 (serial number PX-4471)" */
const char *probe_track_words(struct arena *mem, const struct probe_track *track);

/* "visit 5 of 20 March 2026" */
const char *probe_visit_words(struct arena *mem, const struct farm *farm, int visit, instant at);

/* What puts readings of the track in doubt there, in words. */
const char *probe_issue_words(struct arena *mem, const struct probe_book *book,
                              const struct probe_track *track, const struct probe_issue *issue);

/* "standard 10.0 mg/L read as 9.8, calibrated to 10.0 (lot A-12)" */
const char *probe_read_words(struct arena *mem, const struct probe_check_row *check);

/* "visit 5 of 20 March 2026 by Ana Example: found good, left good; ..." */
const char *probe_check_words(struct arena *mem, const struct probe_book *book,
                              const struct probe_visit_row *row,
                              const struct probe_check_row *check);

/* "calibration" or "drift": the kind of doubt. NULL of a gap, which is none. */
const char *probe_issue_doubt(const struct probe_issue *issue);

/* Add marks of doubt that meet first <= t < until, of every series on record. */
MUST_CHECK bool probe_book_doubts(struct db_tx *tx, const struct probe_book *book, instant first,
                                  instant until, struct doubt_marks *marks, struct err *err);

/* --- what becomes of a reading --------------------------------------------------------------- */

struct probe_series; /* what reads one series */

/* NULL: no instrument on record reads it. It lives as long as the book. */
const struct probe_series *probe_series_of(const struct probe_book *book, const struct units *units,
                                           const struct series_row *row);

struct probe_effect {
    const char *left_out;     /* why it does not count; NULL: it does */
    const char *doubt;        /* beside the marks; NULL: none */
    const char *corrected_by; /* NULL: not corrected */
    struct decimal reported;  /* where it is corrected */
};

/*
 * What visits and answers make of a reading as stored. A corrected value is worked out exactly and
 * rounded half up to the decimals it was reported with. What can't be corrected stays in doubt.
 * With `undone` (or NULL) some answers were not given, and some gaps not found.
 */
struct probe_effect probe_series_apply(struct arena *mem, const struct probe_series *series,
                                       const struct acts_undone *undone,
                                       const struct reading_view *view);

/* For who looks behind a reading: the instrument, and its checks that stand, in order of time. */
void probe_series_tell(struct arena *mem, const struct probe_series *series, instant first,
                       instant until, struct evidence_series *into);

#endif

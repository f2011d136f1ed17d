/*
 * Doubt meeting: everything on record, or worked out, that puts stored readings of a span in doubt:
 * marks that were set and hold, what sensor tests found suspect or failed, what duplicates,
 * replicates and blanks that failed are about (quality_checks.h), and what visits to probes say of
 * what these read (probe_book.h). Of a reading in doubt for several reasons the first one found is
 * told, in that order.
 */
#ifndef APP_DOUBT_MEETING_H
#define APP_DOUBT_MEETING_H

#include "app/probe_book.h"

/*
 * What meets first <= t < until, or is of a sample taken in it; the book it was taken from too.
 * With `undone` (or NULL) some visits were not withdrawn.
 */
MUST_CHECK bool doubt_meeting(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                              const struct acts_undone *undone, instant first, instant until,
                              struct doubt_marks *out, struct probe_book *book, struct err *err);

/* The same, for asking reading by reading. */
struct doubt_index {
    const struct doubt_mark **samples; /* of a sample, in their order */
    size_t sample_count;
    const struct doubt_mark **spans; /* of a series: by series and time */
    instant *latest;                 /* the latest end up to there among those of the series */
    size_t span_count;
};

struct doubt_index doubt_index_of(struct arena *mem, const struct doubt_marks *marks);

/* The first mark of a reading; `sample` NULL: of none. NULL: there is no doubt. */
const struct doubt_mark *doubt_index_find(const struct doubt_index *index, int64_t series_id,
                                          instant at, instant until, const char *sample);

#endif

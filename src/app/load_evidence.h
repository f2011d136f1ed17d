/*
 * Evidence out of the store: the readings, states, meters and rows set aside that judging a span
 * of days needs, as the pure rooms take them.
 */
#ifndef APP_LOAD_EVIDENCE_H
#define APP_LOAD_EVIDENCE_H

#include "app/acts_undone.h"
#include "app/clauses.h"
#include "app/open_farm.h"
#include "judge/judge.h"
#include "store/aside_store.h"

/* A place that discharges under a licence, and what is known of its days. */
struct evidence_point {
    const struct farm_licence *licence;
    const struct farm_point *point;
    int outlet_series; /* -1: none */
    int meter_series;
    const struct discharge_day *days; /* of the span from its first day on; those of first..last
                                         lie around it */
    day_number first;                 /* at least LEAD_DAYS before the span */
    day_number last;
};

/* Days before the span of which the discharge is told too: a week may begin in them. */
enum { LEAD_DAYS = 31 };

struct loaded_evidence {
    day_number from;
    day_number to;
    instant from_at;
    instant until_at;
    struct evidence evidence;  /* of no point in particular */
    const int64_t *series_ids; /* beside those of evidence.series that are stored: the first */
    size_t stored_count;       /* of them */
    size_t rows_read;          /* readings that the store gave, and gave again */
    struct aside_rows asides;
    const struct evidence_point *points;
    size_t point_count;
};

/*
 * The readings of the limits in force in the span: of each over its periods that meet the span and
 * as far around as these reach, and of last samples as many as it looks at. With `undone`
 * (NULL: as the records stand) they are without those acts, for telling what these changed.
 * In brief, for judging in brief, readings need not know their receipt, line and column.
 */
MUST_CHECK bool evidence_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                              const struct clause_limits *limits, day_number from, day_number to,
                              instant now, const struct acts_undone *undone, bool in_brief,
                              struct loaded_evidence *out, struct err *err);

/*
 * The same for some limits alone: of the discharge points only those of their stations, so that
 * one clause reads its own series and no more. For judging clauses, not for intervals.
 */
MUST_CHECK bool evidence_load_for_limits(struct db_tx *tx, struct arena *mem,
                                         const struct open_farm *farm,
                                         const struct clause_limits *limits, day_number from,
                                         day_number to, instant now, bool in_brief,
                                         struct loaded_evidence *out, struct err *err);

/* The same evidence as one limit sees it: with the days of its station's point and its licence. */
struct evidence evidence_for_limit(const struct loaded_evidence *loaded, const struct farm *farm,
                                   const struct limit *limit);

/* The point of a station, or NULL. */
const struct evidence_point *evidence_point_find(const struct loaded_evidence *loaded,
                                                 const char *station);

#endif

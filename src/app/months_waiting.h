/*
 * Months waiting: which months windows of changed evidence make old, and which clauses in them.
 *
 * A reading belongs to the month it lies in and, by some clauses, to later or earlier ones too:
 * running days, last samples, weeks over the edge, runs, periods one after the other. A quarter or
 * a year is judged with any month that it meets.
 */
#ifndef APP_MONTHS_WAITING_H
#define APP_MONTHS_WAITING_H

#include "app/clauses.h"
#include "app/open_farm.h"
#include "store/verdict_store.h"

/*
 * First days of these months, each once, in order, added to `out`. With a margin of one day those
 * too whose edge a window touches, since what lies beside a month counts in it now and then.
 */
MUST_CHECK bool months_waiting(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                               const struct clause_limits *limits,
                               const struct window_rows *windows, int margin_days,
                               struct day_list *out, struct err *err);

/* Whether the windows are of single series that no interval goes by, so that clauses suffice. */
bool months_waiting_of_limits(const struct open_farm *farm, const struct window_rows *windows);

/* Only the clauses of the list whose evidence changed, each with every form it has there; all where
 * a window is of everything. */
struct clause_limits months_waiting_limits(struct arena *mem, const struct open_farm *farm,
                                           const struct clause_limits *limits,
                                           const struct window_rows *windows);

#endif

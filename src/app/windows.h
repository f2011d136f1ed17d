/*
 * Windows to judge: whatever changes evidence or clauses says so in its own transaction, a
 * window a series and month, and judging takes them away.
 */
#ifndef APP_WINDOWS_H
#define APP_WINDOWS_H

#include "farmfile/farm.h"
#include "store/verdict_store.h"

/* Everything, from the first month with readings to the last. */
MUST_CHECK bool windows_put_all(struct db_tx *tx, const struct farm *farm, struct err *err);

/*
 * One series, in the civil days from first to last, split by month; what the farm works out from
 * it, as far around as its readings may be taken together with others; and what a blank among its
 * results may put in doubt.
 */
MUST_CHECK bool windows_put_series(struct db_tx *tx, const struct farm *farm, int64_t series_id,
                                   const char *station, const char *parameter, instant first,
                                   instant last, struct err *err);

#endif

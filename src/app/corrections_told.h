/*
 * Corrections told: what persons did to a month's values, for its report: corrections, and rows set
 * aside that were left out or, where that moved something inside, read again. With each stands what
 * it moved from outside to inside, or from not assessable to within: by itself (the month judged
 * again with it alone undone), or, of what no act explains alone, what it may have moved together
 * with others (moved_inside.h).
 */
#ifndef APP_CORRECTIONS_TOLD_H
#define APP_CORRECTIONS_TOLD_H

#include "app/judge_month.h"
#include "report/discharge_month.h"

MUST_CHECK bool corrections_told(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                 const struct judged_month *month, instant now,
                                 struct discharge_month *into, struct err *err);

/* The same in a transaction of its own. */
MUST_CHECK bool corrections_told_of(struct db *db, struct arena *mem, const struct open_farm *farm,
                                    const struct judged_month *month, instant now,
                                    struct discharge_month *into, struct err *err);

#endif

/*
 * Look at quality: duplicates, replicates and blanks of a span, and how fine the laboratories'
 * limits are for the clauses in force, as the records stand.
 */
#ifndef APP_LOOK_QUALITY_H
#define APP_LOOK_QUALITY_H

#include "app/coarse_limits.h"
#include "app/quality_checks.h"

struct quality_seen {
    struct quality_checks checks; /* of the days asked for */
    struct coarse_limits limits;
};

MUST_CHECK bool quality_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                             day_number from, day_number to, instant now, struct quality_seen *out,
                             struct err *err);

#endif

/*
 * Months due: which months the passing of time makes be judged, whether or not a row arrived.
 *
 * A month in which nothing was recorded lacks its samples all the same. So every month in which a
 * clause is in force is judged once, and as long as time can still turn something in it once each
 * civil day: while it runs, and until the tolerance of every interval is over. One that was judged
 * before a licence, a limit or an interval changed in the farm file is judged again.
 *
 * The farm's months begin with the one of its first reading or in which its farm file was first
 * loaded, whichever is earlier. A licence may be older than the farm's use of this program by
 * years, and nobody can tell from here what was sampled then: earlier months are judged only when
 * a person asks for one.
 */
#ifndef APP_MONTHS_DUE_H
#define APP_MONTHS_DUE_H

#include "app/open_farm.h"
#include "store/verdict_store.h"

struct months_span {
    day_number oldest; /* first day of the farm's first month */
    day_number newest; /* of the newest that holds readings or was judged; DAY_NONE: none */
};

/* The farm's own months, in a transaction of its own. */
MUST_CHECK bool months_span(struct db *db, struct arena *mem, const struct open_farm *farm,
                            struct months_span *out, struct err *err);

/* First days of the months that are due at `now`, oldest first, in a transaction of its own. */
MUST_CHECK bool months_due(struct db *db, struct arena *mem, const struct open_farm *farm,
                           instant now, struct day_list *out, struct err *err);

#endif

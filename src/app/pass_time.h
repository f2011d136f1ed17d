/*
 * Time passes: what becomes news without a row arriving. One look at it:
 *
 * - months that wait are judged, and those that are due (months_due.h), in which what was to be
 *   done may be late or missed by now: so many a look, oldest first;
 * - a source that the farm file says is `silent after` so long, and no reading came: of the source
 *   as a whole, else of each station and parameter of a wide one. A source is silent only once it
 *   has brought a first reading;
 * - a check or calibration of a probe that is overdue, or one that failed and waits for an answer;
 * - a watched folder into which no file came for its `quiet after`.
 *
 * Each is a finding, one an unbroken run; it says "worked out again" when readings or files come.
 * When it was last looked at is kept, and `weirbook status` says it.
 */
#ifndef APP_PASS_TIME_H
#define APP_PASS_TIME_H

#include <signal.h>

#include "app/open_farm.h"
#include "farmfile/settings.h"
#include "store/look_store.h"

enum { PASS_TIME_MONTHS_MOST = 24 }; /* due months that are judged in one look */

struct pass_time_options {
    const struct machine_settings *settings; /* NULL: no folder is watched */
    const volatile sig_atomic_t *stop;       /* looked at between months; NULL: never */
};

struct pass_time_result {
    int months;      /* that were judged */
    int months_left; /* that are due still, for the next look */
    int opened;      /* findings */
    int ended;       /* findings that are no longer so */
};

MUST_CHECK bool pass_time(struct db *db, struct arena *mem, const struct open_farm *farm,
                          instant now, const struct pass_time_options *options,
                          struct pass_time_result *result, struct err *err);

/* When it was last looked at, in a transaction of its own. */
MUST_CHECK bool pass_time_last(struct db *db, const struct open_farm *farm, struct time_look *out,
                               struct err *err);

#endif

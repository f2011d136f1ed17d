/*
 * What is on record of a farm and what waits for a person, at one glance.
 */
#ifndef APP_FARM_STATUS_H
#define APP_FARM_STATUS_H

#include "app/clauses.h"
#include "app/open_farm.h"
#include "store/aside_store.h"
#include "store/look_store.h"
#include "store/receipt_store.h"
#include "store/series_store.h"
#include "store/verdict_store.h"

struct farm_status {
    struct receipt_rows receipts;     /* newest first */
    struct latest_views latest;       /* of each series */
    struct aside_counts asides;       /* that wait, by file and reason */
    struct window_rows windows;       /* of evidence that changed and was not judged since */
    struct clause_limits unconfirmed; /* nobody compared them with the licence */
    struct ledger_head head;
    day_number month;             /* the newest with readings, its first day; DAY_NONE: none */
    struct verdict_rows verdicts; /* as last worked out for it */
    struct time_look looked;      /* when it was last looked at what time brings (pass_time.h) */
    bool stale;                   /* something of that month changed since: don't show them */
};

/* Findings that nobody settled. */
MUST_CHECK bool findings_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 struct finding_rows *out, struct err *err);

MUST_CHECK bool farm_status_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 struct farm_status *out, struct err *err);

#endif

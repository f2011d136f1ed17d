/*
 * Findings of probes: a check or calibration that is overdue, and one that failed and waits for a
 * person's answer. One each; it says "worked out again" once it is no longer so.
 */
#ifndef APP_PROBE_FINDINGS_H
#define APP_PROBE_FINDINGS_H

#include "app/probe_book.h"
#include "store/verdict_store.h"

/* What is so by the visits and answers on record. */
MUST_CHECK bool probe_findings_of(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                  instant now, struct finding_rows *out, struct err *err);

/*
 * Open those that are new, and end those that are no longer so. Near the end of its transaction:
 * it locks the ledger. Adds to *opened and *ended.
 */
MUST_CHECK bool probe_findings_put(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                   const struct finding_rows *found, const char *by, instant now,
                                   int *opened, int *ended, struct err *err);

#endif

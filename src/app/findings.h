/*
 * Findings: what a person must answer. Judging opens those of a limit outside, a sample missed, a
 * day on which the outlet's record and the meter disagree: one per clause, station and unbroken
 * run. Others are opened by what finds them (pass_time.h, watch_folder.h).
 */
#ifndef APP_FINDINGS_H
#define APP_FINDINGS_H

#include "app/judge_month.h"
#include "store/verdict_store.h"

/*
 * Open those that are not there, or that were no longer found and are found again, with one ledger
 * entry for all of them in the name of `by`. Every finding is opened here, in the transaction of
 * what causes it, and near its end: the entry locks the ledger. Whoever the farm file names for
 * its kind has a notice queued in the same transaction. Adds to *opened.
 */
MUST_CHECK bool findings_open(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                              const struct finding_rows *rows, const char *by, instant now,
                              int *opened, struct err *err);

/* What a judged month finds; in mem, in order of day. */
struct finding_rows findings_of(struct arena *mem, const struct open_farm *farm,
                                const struct judged_month *month, instant now);

/*
 * After the month's verdicts are stored: open those that are new (one that goes on from the day
 * before, over the end of a month or a change of its clause, is not), with one ledger entry for all
 * of them, and note on open ones of the month that no longer stand that they were worked out again.
 */
MUST_CHECK bool findings_store(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                               const struct finding_rows *all, const struct judged_month *month,
                               instant now, int *opened, struct err *err);

#endif

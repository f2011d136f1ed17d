/*
 * Queueing notices: for each finding that was opened, one for each person that the farm file names
 * for its kind, in the transaction that opened it.
 */
#ifndef APP_NOTICE_QUEUE_H
#define APP_NOTICE_QUEUE_H

#include "db/db.h"
#include "farmfile/farm.h"
#include "store/verdict_store.h"

/*
 * Right after the ledger's entry: its lock keeps the numbers apart. People who are not with the
 * farm on that day are passed over.
 */
MUST_CHECK bool notices_queue(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                              const struct finding_row *finding, instant now, struct err *err);

#endif

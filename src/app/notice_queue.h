/*
 * Queueing notices: for each finding that was opened, one for each person that the farm file names
 * for its kind, in the transaction that opened it.
 *
 * Nobody is flooded: while NOTICES_APART_MOST of one kind to the same people wait to be sent, what
 * is found more is told with the newest of them (store/notice_store.h, parts). The first load of a
 * long past so brings a few letters, the last of which lists the first of the rest and their
 * number.
 */
#ifndef APP_NOTICE_QUEUE_H
#define APP_NOTICE_QUEUE_H

#include "db/db.h"
#include "farmfile/farm.h"
#include "store/verdict_store.h"

enum { NOTICES_APART_MOST = 5 };

/*
 * Right after the ledger's entry: its lock keeps the numbers apart. People who are not with the
 * farm on that day are passed over.
 */
MUST_CHECK bool notices_queue(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                              const struct finding_row *finding, instant now, struct err *err);

#endif

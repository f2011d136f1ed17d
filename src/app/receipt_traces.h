/*
 * What storing a receipt's rows leaves behind besides them: windows to judge, newest readings,
 * batches with their roots. The same whether a file comes in or is read again.
 */
#ifndef APP_RECEIPT_TRACES_H
#define APP_RECEIPT_TRACES_H

#include "app/take_in_store.h"

/* What a reader knows of the farm. */
struct ingest_world traces_world(struct arena *mem, const struct open_farm *farm, instant now);

/* Every series of the scan, where the farm does not have it yet. */
MUST_CHECK bool traces_series(struct db_tx *tx, const struct scan *scan, struct err *err);

/* Windows over first..last in the marked months: of a series, or with NULL of anything. */
MUST_CHECK bool traces_windows(struct db_tx *tx, const struct farm *farm,
                               const struct scan_months *months, const struct scan_series *series,
                               instant first, instant last, struct err *err);

/* Windows for what was stored of each series, its newest reading, and what sensor tests say. */
MUST_CHECK bool traces_stored(struct db_tx *tx, const struct farm *farm,
                              const struct storing *storing, struct err *err);

/* The batches, numbered from `first`; `roots` gets their digests, a blank between them. */
MUST_CHECK bool traces_batches(struct db_tx *tx, const struct storing *storing, int first,
                               struct buf *roots, struct err *err);

#endif

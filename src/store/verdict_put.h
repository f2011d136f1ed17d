/*
 * Verdict put: the verdicts of a judging, stored together in place of the older ones.
 */
#ifndef STORE_VERDICT_PUT_H
#define STORE_VERDICT_PUT_H

#include "base/crypto.h"
#include "db/db.h"
#include "judge/verdict.h"

/*
 * Verdicts with their windows and the days on which something lay beyond the bound, in place of
 * those of the same clauses that lie in from..to or in their own periods. `digests` are of what
 * each rests on. Three statements for
 * every few hundred of them, however many there are.
 */
MUST_CHECK bool verdict_store_put(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                                  day_number from, day_number to, const struct digest *digests,
                                  instant judged_at, struct err *err);

#endif

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
 * each rests on. Five statements, however many there are: a few hundred at a time, of each clause
 * all that it has. Windows and days that stand already are not written again, which is most of the
 * time that storing takes: verdict.parts_sha256 tells.
 */
MUST_CHECK bool verdict_store_put(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                                  day_number from, day_number to, const struct digest *digests,
                                  instant judged_at, struct err *err);

#endif

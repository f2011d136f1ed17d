/*
 * Verdict storer: stores the verdicts of a month in a thread of its own while its next clauses are
 * judged. Judging knows no database and the server has as much to do with verdicts as judging has,
 * so that both go on side by side.
 *
 * The transaction belongs to the storer from beginning to end: meanwhile nobody else uses it, its
 * connection or an arena of theirs.
 */
#ifndef APP_VERDICT_STORER_H
#define APP_VERDICT_STORER_H

#include "base/crypto.h"
#include "db/db.h"
#include "judge/verdict.h"

struct verdict_storer;

/*
 * For verdicts of first..last, in place of older ones (store/verdict_put.h). In mem. Where the
 * machine gives no thread, everything is stored at the end.
 */
struct verdict_storer *verdict_storer_begin(struct arena *mem, struct db_tx *tx, day_number first,
                                            day_number last, instant judged_at);

/*
 * Hand over verdicts, all of the same clause at once, with the digests of what each rests on. They
 * stay as they are until the end, and so does what they point to. Of any thread.
 */
void verdict_storer_add(struct verdict_storer *storer, const struct verdict *verdicts,
                        const struct digest *digests, size_t count);

/* Wait until all are stored, or one could not be. */
MUST_CHECK bool verdict_storer_end(struct verdict_storer *storer, struct err *err);

#endif

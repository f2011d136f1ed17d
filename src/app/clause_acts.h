/*
 * What people say about limits: that they were compared with the licence.
 */
#ifndef APP_CLAUSE_ACTS_H
#define APP_CLAUSE_ACTS_H

#include "app/clauses.h"
#include "app/open_farm.h"

/* Limits that wait to be compared, as the person reads them beside the licence. */
MUST_CHECK bool limits_unconfirmed(struct db *db, struct arena *mem, const struct open_farm *farm,
                                   struct clause_limits *out, struct err *err);

/*
 * A person compared these limits (all that wait when count is 0) with the licence.
 *
 * ERR_DENIED: it was they who loaded this form, and somebody else could compare it.
 * ERR_NOT_FOUND: no such limit waits.
 */
MUST_CHECK bool limits_confirm(struct db *db, struct arena *mem, const struct open_farm *farm,
                               const char *const *keys, size_t count, const struct act *act,
                               int *confirmed, struct err *err);

#endif

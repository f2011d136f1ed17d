/*
 * Verifying the ledger: every entry's hash worked out again from its bytes and the hash before,
 * in order, with flat memory. Whoever keeps the head elsewhere can tell that nothing before it
 * was changed.
 */
#ifndef APP_VERIFY_LEDGER_H
#define APP_VERIFY_LEDGER_H

#include "app/open_farm.h"

struct ledger_verdict {
    int64_t entries; /* that were followed soundly */
    bool sound;
    const char *fault; /* of the first break, or NULL */
    struct digest head;
};

/* A break is an answer, not an error. */
MUST_CHECK bool ledger_verify(struct db *db, struct arena *mem, const struct open_farm *farm,
                              struct ledger_verdict *out, struct err *err);

#endif

/*
 * Ledger store: append an entry to the farm's chain.
 *
 * Call it last in a transaction: it locks the farm's head, and nothing slow and no other lock
 * may follow.
 */
#ifndef STORE_LEDGER_STORE_H
#define STORE_LEDGER_STORE_H

#include "base/crypto.h"
#include "db/db.h"
#include "ledger/entry.h"

/* Who does something, when. Every use case that writes takes one. */
struct act {
    const char *person; /* key */
    instant at;
};

/* The head row of a farm that was just made. */
MUST_CHECK bool ledger_store_start(struct db_tx *tx, const struct act *act, struct err *err);

/*
 * Append one entry. ERR_CONFLICT when the machine's clock is more than a day behind the newest
 * entry: something is wrong with one of the two, and a person must look.
 */
MUST_CHECK bool ledger_store_append(struct db_tx *tx, const struct act *act, enum entry_kind kind,
                                    const char *source, const struct entry_field *fields,
                                    size_t count, struct err *err);

struct ledger_head {
    int64_t sequence; /* 0: no entry yet */
    struct digest hash;
    instant at;
};

MUST_CHECK bool ledger_store_head(struct db_tx *tx, struct ledger_head *out, struct err *err);

/* Every entry in order: sequence, canonical bytes, stored hash. */
typedef bool (*ledger_each)(void *context, int64_t sequence, const void *bytes, size_t count,
                            const struct digest *hash, struct err *err);
MUST_CHECK bool ledger_store_entries(struct db_tx *tx, ledger_each each, void *context,
                                     struct err *err);

#endif

#include "app/verify_ledger.h"

#include "ledger/chain.h"

struct following {
    struct chain chain;
    int64_t farm_id;
};

/* Goes on to the end after a break: the chain itself keeps the first. */
static bool entry_follow(void *context, int64_t sequence, const void *bytes, size_t count,
                         const struct digest *hash, struct err *err)
{
    struct following *following = context;

    (void)err;
    chain_follow_bytes(&following->chain, following->farm_id, sequence, bytes, count, hash);

    return true;
}

/* Once over all entries, with the head before and after. */
static bool ledger_follow(struct db *db, const struct open_farm *farm, struct following *following,
                          struct ledger_head *before, struct ledger_head *after, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && ledger_store_head(&tx, before, err) &&
           ledger_store_entries(&tx, entry_follow, following, err) &&
           ledger_store_head(&tx, after, err);
}

/* Times to begin again when entries are written meanwhile. */
enum { TRIES = 10 };

bool ledger_verify(struct db *db, struct arena *mem, const struct open_farm *farm,
                   struct ledger_verdict *out, struct err *err)
{
    struct following following = {.farm_id = farm->farm_id};
    struct ledger_head before = {0};
    struct ledger_head head = {.sequence = -1};

    for (int i = 0; i < TRIES && before.sequence != head.sequence; i++) {
        following.chain = chain_begin(mem, farm->farm_id);
        if (!ledger_follow(db, farm, &following, &before, &head, err))
            return false;
    }
    if (before.sequence != head.sequence)
        return err_set(err, ERR_UNAVAILABLE, "entries are being written all the time; try again");

    const struct chain *chain = &following.chain;
    bool at_head = chain->sequence == head.sequence && digest_equal(&chain->hash, &head.hash);

    *out = (struct ledger_verdict){.entries = chain->sequence,
                                   .sound = chain->fault == CHAIN_SOUND && at_head,
                                   .head = head.hash};
    if (chain->fault != CHAIN_SOUND)
        out->fault = chain_fault_text(mem, chain);
    else if (!at_head)
        out->fault = "the last entry is not the one that the head names";

    return true;
}

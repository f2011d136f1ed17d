#include "app/farm_status.h"

#include "app/clause_acts.h"

static bool stored_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                        struct farm_status *status, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           receipt_store_list(&tx, mem, &status->receipts, err) &&
           series_store_latest_list(&tx, mem, &status->latest, err) &&
           aside_store_counts(&tx, mem, &status->asides, err) &&
           window_store_list(&tx, mem, &status->windows, err) &&
           ledger_store_head(&tx, &status->head, err);
}

bool farm_status_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                      struct farm_status *out, struct err *err)
{
    struct farm_status status = {0};

    if (!stored_read(db, mem, farm, &status, err) ||
        !limits_unconfirmed(db, mem, farm, &status.unconfirmed, err))
        return false;
    *out = status;

    return true;
}

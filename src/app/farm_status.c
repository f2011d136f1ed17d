#include "app/farm_status.h"

#include "app/clause_acts.h"
#include "app/judge_month.h"

static bool stored_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                        struct farm_status *status, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           receipt_store_list(&tx, mem, &status->receipts, err) &&
           series_store_latest_list(&tx, mem, &status->latest, err) &&
           aside_store_counts(&tx, mem, &status->asides, err) &&
           window_store_list(&tx, mem, &status->windows, err) &&
           look_store_time(&tx, &status->looked, err) &&
           ledger_store_head(&tx, &status->head, err);
}

/* Verdicts as they are stored, and whether a window that waits touches their month. */
static bool verdicts_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                          struct farm_status *status, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    day_number last = month_next(status->month) - 1;
    int64_t waiting = 0;

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !verdict_store_list(&tx, mem, status->month, last, &status->verdicts, err) ||
        !window_store_touching(&tx, status->month, last, &waiting, err))
        return false;
    status->stale = waiting > 0;

    return true;
}

bool farm_status_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                      struct farm_status *out, struct err *err)
{
    struct farm_status status = {0};

    if (!stored_read(db, mem, farm, &status, err) ||
        !limits_unconfirmed(db, mem, farm, &status.unconfirmed, err) ||
        !month_newest(db, farm, &status.month, err) ||
        (status.month != DAY_NONE && !verdicts_read(db, mem, farm, &status, err)))
        return false;
    *out = status;

    return true;
}

bool findings_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                      struct finding_rows *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && finding_store_waiting(&tx, mem, out, err);
}

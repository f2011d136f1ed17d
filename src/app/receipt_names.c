#include "app/receipt_names.h"

bool receipts_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                   struct receipt_rows *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && receipt_store_list(&tx, mem, out, err);
}

const char *receipt_name(const struct receipt_rows *receipts, int64_t receipt)
{
    for (size_t i = 0; i < receipts->count; i++) {
        if (receipts->items[i].receipt == receipt)
            return receipts->items[i].file_name;
    }

    return NULL;
}

struct explain_place receipt_place(const struct receipt_rows *receipts, struct origin origin)
{
    struct explain_place place = {.line = origin.line};

    for (size_t i = 0; i < receipts->count; i++) {
        if (receipts->items[i].receipt != origin.receipt)
            continue;
        place.file = receipts->items[i].file_name;
        place.sheet = place_sheet_name(&receipts->items[i].sheets, origin.line);
    }
    if (place.sheet)
        place.line = place_row(origin.line);

    return place;
}

/*
 * Names of the files on record, for saying where a value came from.
 */
#ifndef APP_RECEIPT_NAMES_H
#define APP_RECEIPT_NAMES_H

#include "app/open_farm.h"
#include "judge/explain.h"
#include "store/receipt_store.h"

/* Every file of the farm, in a transaction of its own. */
MUST_CHECK bool receipts_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                              struct receipt_rows *out, struct err *err);

/* Where a value came from: its file, and of a workbook the sheet and the row of that. */
struct explain_place receipt_place(const struct receipt_rows *receipts, struct origin origin);

/* What the file of a receipt was called; NULL: no such receipt. */
const char *receipt_name(const struct receipt_rows *receipts, int64_t receipt);

#endif

#include "store/receipt_store.h"

#include <string.h>

#include "base/json.h"
#include "db/sql_catalog.h"

bool receipt_store_find(struct db_tx *tx, struct arena *mem, const char *source,
                        const struct digest *sha256, struct receipt_row *out, bool *found,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_receipt_find,
            DB_PARAMS(db_int(tx->farm_id), db_text(source), db_bytes(sha256->bytes, SHA256_SIZE)),
            &rows, err))
        return false;

    *found = db_rows_count(&rows) > 0;
    if (*found)
        *out = (struct receipt_row){.receipt = db_rows_int(&rows, 0, 0),
                                    .source = arena_strdup(mem, source),
                                    .file_name = db_rows_dup(&rows, 0, 1, mem),
                                    .sha256 = *sha256,
                                    .received_at = db_rows_instant(&rows, 0, 2),
                                    .person = db_rows_dup(&rows, 0, 3, mem),
                                    .values_in = db_rows_int(&rows, 0, 4),
                                    .stored = db_rows_int(&rows, 0, 5),
                                    .already_known = db_rows_int(&rows, 0, 6),
                                    .blank = db_rows_int(&rows, 0, 7),
                                    .set_aside = db_rows_int(&rows, 0, 8),
                                    .first_at = INSTANT_NONE,
                                    .last_at = INSTANT_NONE};

    return true;
}

bool receipt_store_piece_add(struct db_tx *tx, int64_t receipt, int piece, const void *bytes,
                             size_t count, struct err *err)
{
    return db_do(
        tx, &sql_receipt_piece_add,
        DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(piece), db_bytes(bytes, count)),
        err);
}

bool receipt_store_batch_add(struct db_tx *tx, int64_t receipt, int batch, size_t readings,
                             const struct digest *root, struct err *err)
{
    return db_do(tx, &sql_receipt_batch_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(batch),
                           db_int((int64_t)readings), db_bytes(root->bytes, SHA256_SIZE)),
                 err);
}

bool receipt_store_sheet_add(struct db_tx *tx, int64_t receipt, const struct place_sheet *sheet,
                             struct err *err)
{
    return db_do(tx, &sql_receipt_sheet_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(sheet->number),
                           db_text(sheet->name)),
                 err);
}

bool receipt_store_piece(struct db_tx *tx, struct arena *mem, int64_t receipt, int piece,
                         const void **bytes, size_t *count, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_receipt_piece,
                DB_PARAMS(db_int(tx->farm_id), db_int(receipt), db_int(piece)), &rows, err))
        return false;
    *count = 0;
    if (db_rows_count(&rows) > 0)
        *bytes = db_rows_bytes(&rows, 0, 0, mem, count);

    return true;
}

bool receipt_store_batches(struct db_tx *tx, int64_t receipt, int *batches, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_receipt_batches, DB_PARAMS(db_int(tx->farm_id), db_int(receipt)), &rows,
                err))
        return false;
    *batches = (int)db_rows_int(&rows, 0, 0);

    return true;
}

bool receipt_store_newest_of_source(struct db_tx *tx, const char *source, instant *out,
                                    struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_receipt_newest_of_source, DB_PARAMS(db_int(tx->farm_id), db_text(source)),
                &rows, err))
        return false;
    *out = db_rows_instant(&rows, 0, 0);

    return true;
}

bool receipt_store_add(struct db_tx *tx, const struct receipt_row *receipt, struct err *err)
{
    return db_do(tx, &sql_receipt_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(receipt->receipt), db_text(receipt->source),
                           db_int(receipt->farm_file_version), db_text(receipt->file_name),
                           db_bytes(receipt->sha256.bytes, SHA256_SIZE),
                           db_int(receipt->byte_count), db_instant(receipt->received_at),
                           db_text(receipt->person), db_int(receipt->values_in),
                           db_int(receipt->stored), db_int(receipt->already_known),
                           db_int(receipt->blank), db_int(receipt->set_aside),
                           db_instant(receipt->first_at), db_instant(receipt->last_at)),
                 err);
}

static struct receipt_row receipt_from_row(const struct db_rows *rows, size_t row,
                                           struct arena *mem)
{
    struct receipt_row receipt = {.receipt = db_rows_int(rows, row, 0),
                                  .source = db_rows_dup(rows, row, 1, mem),
                                  .file_name = db_rows_dup(rows, row, 2, mem),
                                  .byte_count = db_rows_int(rows, row, 4),
                                  .received_at = db_rows_instant(rows, row, 5),
                                  .person = db_rows_dup(rows, row, 6, mem),
                                  .values_in = db_rows_int(rows, row, 7),
                                  .stored = db_rows_int(rows, row, 8),
                                  .already_known = db_rows_int(rows, row, 9),
                                  .blank = db_rows_int(rows, row, 10),
                                  .set_aside = db_rows_int(rows, row, 11),
                                  .first_at = db_rows_instant(rows, row, 12),
                                  .last_at = db_rows_instant(rows, row, 13)};
    size_t length = 0;

    memcpy(receipt.sha256.bytes, db_rows_bytes(rows, row, 3, mem, &length), SHA256_SIZE);

    return receipt;
}

/* Each receipt's sheets: they come together. */
static bool sheets_fill(struct db_tx *tx, struct arena *mem, struct receipt_rows *list,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_receipt_sheets, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    size_t count = db_rows_count(&rows);
    struct place_sheet *sheets = ARENA_ARRAY(mem, struct place_sheet, count);
    size_t end;

    for (size_t from = 0; from < count; from = end) {
        int64_t receipt = db_rows_int(&rows, from, 0);

        for (end = from; end < count && db_rows_int(&rows, end, 0) == receipt; end++)
            sheets[end] = (struct place_sheet){(int32_t)db_rows_int(&rows, end, 1),
                                               db_rows_dup(&rows, end, 2, mem)};
        for (size_t i = 0; i < list->count; i++)
            if (list->items[i].receipt == receipt)
                list->items[i].sheets = (struct place_sheets){sheets + from, end - from};
    }

    return true;
}

bool receipt_store_list(struct db_tx *tx, struct arena *mem, struct receipt_rows *out,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_receipt_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct receipt_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct receipt_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = receipt_from_row(&rows, i, mem);
    if (!sheets_fill(tx, mem, &list, err))
        return false;
    *out = list;

    return true;
}

int64_t sample_portion_of(const char *sample, const char *replicate)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    return text_id(arena_printf(mem, "%s\x1f%s", sample, replicate ? replicate : ""));
}

bool sample_store_add(struct db_tx *tx, const struct sample_row *sample, const char *replicate,
                      struct err *err)
{
    if (!db_do(tx, &sql_sample_add,
               DB_PARAMS(db_int(tx->farm_id), db_text(sample->sample), db_text(sample->station),
                         db_text(sample->position), db_text(sample->purpose), db_text(sample->kind),
                         db_instant(sample->from), db_instant(sample->until),
                         db_text(sample->taken_by), db_int(sample->receipt)),
               err))
        return err_wrap(err, "sample %s", sample->sample);

    return db_do(tx, &sql_sample_portion_add,
                 DB_PARAMS(db_int(tx->farm_id),
                           db_int(sample_portion_of(sample->sample, replicate)),
                           db_text(sample->sample), db_text(replicate ? replicate : "")),
                 err);
}

bool sample_store_list(struct db_tx *tx, struct arena *mem, const char *const *samples,
                       size_t count, struct sample_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct buf names = buf_new(mem);
    struct json_writer json = json_begin(&names);

    json_put_array(&json);
    for (size_t i = 0; i < count; i++)
        json_put_text(&json, samples[i]);
    json_put_array_end(&json);
    json_end(&json);
    if (!db_run(tx, &sql_sample_list, DB_PARAMS(db_int(tx->farm_id), db_text(names.data)), &rows,
                err))
        return false;

    struct sample_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct sample_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct sample_row){.sample = db_rows_dup(&rows, i, 0, mem),
                                            .station = db_rows_dup(&rows, i, 1, mem),
                                            .position = db_rows_dup(&rows, i, 2, mem),
                                            .purpose = db_rows_dup(&rows, i, 3, mem),
                                            .kind = db_rows_dup(&rows, i, 4, mem),
                                            .from = db_rows_instant(&rows, i, 5),
                                            .until = db_rows_instant(&rows, i, 6),
                                            .taken_by = db_rows_dup(&rows, i, 7, mem),
                                            .receipt = db_rows_int(&rows, i, 8)};
    *out = list;

    return true;
}

#include "store/document_store.h"

#include <string.h>

#include "db/sql_catalog.h"

bool document_store_add(struct db_tx *tx, const struct document_row *row, int64_t *document,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_document_add,
                DB_PARAMS(db_int(tx->farm_id), db_text(row->name), db_text(row->kind),
                          db_bytes(row->sha256.bytes, SHA256_SIZE), db_int(row->byte_count),
                          db_instant(row->received_at), db_text(row->person)),
                &rows, err))
        return false;
    *document = db_rows_int(&rows, 0, 0);

    return true;
}

bool document_store_piece_add(struct db_tx *tx, int64_t document, int piece, const void *bytes,
                              size_t count, struct err *err)
{
    return db_do(
        tx, &sql_document_piece_add,
        DB_PARAMS(db_int(tx->farm_id), db_int(document), db_int(piece), db_bytes(bytes, count)),
        err);
}

bool document_store_piece(struct db_tx *tx, struct arena *mem, int64_t document, int piece,
                          const void **bytes, size_t *count, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_document_piece,
                DB_PARAMS(db_int(tx->farm_id), db_int(document), db_int(piece)), &rows, err))
        return false;
    *count = 0;
    if (db_rows_count(&rows) > 0)
        *bytes = db_rows_bytes(&rows, 0, 0, mem, count);

    return true;
}

bool document_store_find(struct db_tx *tx, const struct digest *sha256, int64_t *document,
                         struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_document_find,
                DB_PARAMS(db_int(tx->farm_id), db_bytes(sha256->bytes, SHA256_SIZE)), &rows, err))
        return false;
    *document = db_rows_count(&rows) > 0 ? db_rows_int(&rows, 0, 0) : 0;

    return true;
}

bool document_store_list(struct db_tx *tx, struct arena *mem, struct document_rows *out,
                         struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_document_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct document_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct document_row, list.count);
    for (size_t i = 0; i < list.count; i++) {
        size_t count = 0;
        const void *bytes = db_rows_bytes(&rows, i, 3, mem, &count);

        list.items[i] = (struct document_row){.document = db_rows_int(&rows, i, 0),
                                              .name = db_rows_dup(&rows, i, 1, mem),
                                              .kind = db_rows_dup(&rows, i, 2, mem),
                                              .byte_count = db_rows_int(&rows, i, 4),
                                              .received_at = db_rows_instant(&rows, i, 5),
                                              .person = db_rows_dup(&rows, i, 6, mem)};
        if (count == SHA256_SIZE)
            memcpy(list.items[i].sha256.bytes, bytes, SHA256_SIZE);
    }
    *out = list;

    return true;
}

bool document_store_tie_add(struct db_tx *tx, const struct document_tie *tie, struct err *err)
{
    return db_do(tx, &sql_document_tie_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(tie->document), db_text(tie->kind),
                           db_text(tie->about), db_text(tie->person), db_instant(tie->tied_at)),
                 err);
}

bool document_store_ties(struct db_tx *tx, struct arena *mem, struct document_ties *out,
                         struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_document_ties, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct document_ties list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct document_tie, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct document_tie){.document = db_rows_int(&rows, i, 0),
                                              .kind = db_rows_dup(&rows, i, 1, mem),
                                              .about = db_rows_dup(&rows, i, 2, mem),
                                              .person = db_rows_dup(&rows, i, 3, mem),
                                              .tied_at = db_rows_instant(&rows, i, 4)};
    *out = list;

    return true;
}

bool document_store_results(struct db_tx *tx, struct arena *mem, const char *sample, instant first,
                            instant last, struct sample_results *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(
            tx, &sql_result_check_results,
            DB_PARAMS(db_int(tx->farm_id), db_text(sample), db_instant(first), db_instant(last)),
            &rows, err))
        return false;

    struct sample_results list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct sample_result, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct sample_result){.station = db_rows_dup(&rows, i, 0, mem),
                                   .parameter = db_rows_dup(&rows, i, 1, mem),
                                   .made_by = db_rows_dup(&rows, i, 2, mem),
                                   .replicate = db_rows_dup(&rows, i, 3, mem),
                                   .at = db_rows_instant(&rows, i, 4),
                                   .qualifier = db_rows_text(&rows, i, 5)[0],
                                   .reported = arena_strdup(mem, db_rows_text(&rows, i, 6)),
                                   .unit = db_rows_dup(&rows, i, 7, mem),
                                   .left_out = db_rows_bool(&rows, i, 8),
                                   .receipt = db_rows_int(&rows, i, 9),
                                   .line = (int32_t)db_rows_int(&rows, i, 10)};
    *out = list;

    return true;
}

bool document_store_check_add(struct db_tx *tx, const struct result_check *check, struct err *err)
{
    return db_do(tx, &sql_result_check_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(check->sample), db_int(check->document),
                           db_text(check->results), db_text(check->person),
                           db_instant(check->checked_at)),
                 err);
}

bool document_store_checks(struct db_tx *tx, struct arena *mem, instant first, instant until,
                           struct result_checks *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_result_check_list,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct result_checks list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct result_check, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct result_check){.sample = db_rows_dup(&rows, i, 0, mem),
                                              .document = db_rows_int(&rows, i, 1),
                                              .name = db_rows_dup(&rows, i, 2, mem),
                                              .person = db_rows_dup(&rows, i, 3, mem),
                                              .checked_at = db_rows_instant(&rows, i, 4),
                                              .results = db_rows_dup(&rows, i, 5, mem),
                                              .corrected_since = db_rows_bool(&rows, i, 6)};
    *out = list;

    return true;
}

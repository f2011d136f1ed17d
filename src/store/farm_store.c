#include "store/farm_store.h"

#include <string.h>

#include "db/sql_catalog.h"

bool farm_store_list(struct db_tx *tx, struct arena *mem, struct farm_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_farm_list, DB_NO_PARAMS, &rows, err))
        return false;

    struct farm_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct farm_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct farm_row){.farm_id = db_rows_int(&rows, i, 0),
                                          .key = db_rows_dup(&rows, i, 1, mem)};
    *out = list;

    return true;
}

bool farm_store_making(struct db_tx *tx, struct err *err)
{
    return db_do(tx, &sql_farm_making, DB_NO_PARAMS, err);
}

bool farm_store_add(struct db_tx *tx, const char *key, struct err *err)
{
    return db_do(tx, &sql_farm_add, DB_PARAMS(db_int(tx->farm_id), db_text(key)), err);
}

static void file_read(const struct db_rows *rows, struct arena *mem, struct farm_file_row *out)
{
    size_t length = 0;

    *out = (struct farm_file_row){.version = (int)db_rows_int(rows, 0, 0)};
    memcpy(out->sha256.bytes, db_rows_bytes(rows, 0, 1, mem, &length), SHA256_SIZE);
    out->bytes = db_rows_bytes(rows, 0, 2, mem, &out->length);
    out->person = db_rows_dup(rows, 0, 3, mem);
    out->loaded_at = db_rows_instant(rows, 0, 4);
}

bool farm_store_file_latest(struct db_tx *tx, struct arena *mem, struct farm_file_row *out,
                            struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_farm_file_latest, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    *out = (struct farm_file_row){.version = 0};
    if (db_rows_count(&rows) > 0)
        file_read(&rows, mem, out);

    return true;
}

bool farm_store_file_of(struct db_tx *tx, struct arena *mem, int version, struct farm_file_row *out,
                        struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_farm_file_of_version, DB_PARAMS(db_int(tx->farm_id), db_int(version)),
                &rows, err))
        return false;
    if (db_rows_count(&rows) == 0)
        return err_set(err, ERR_NOT_FOUND, "no version %d of the farm file is on record", version);
    file_read(&rows, mem, out);

    return true;
}

bool farm_store_file_add(struct db_tx *tx, const struct farm_file_row *file, struct err *err)
{
    return db_do(tx, &sql_farm_file_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(file->version),
                           db_bytes(file->sha256.bytes, SHA256_SIZE),
                           db_bytes(file->bytes, file->length), db_text(file->name),
                           db_text(file->zone), db_bool(file->invented),
                           db_instant(file->loaded_at), db_text(file->person)),
                 err);
}

bool farm_store_since(struct db_tx *tx, instant *loaded_at, int *changed, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_farm_file_since, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    *loaded_at = db_rows_instant(&rows, 0, 0);
    *changed = (int)db_rows_int(&rows, 0, 1);

    return true;
}

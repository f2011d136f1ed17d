#include "store/ledger_store.h"

#include <string.h>

#include "db/sql_catalog.h"
#include "ledger/chain.h"

/* Columns of ledger/head.sql and ledger/head_look.sql, in order. */
enum { COL_SEQUENCE, COL_HASH, COL_AT };

bool ledger_store_start(struct db_tx *tx, const struct act *act, struct err *err)
{
    struct digest genesis = chain_genesis();

    return db_do(tx, &sql_ledger_head_start,
                 DB_PARAMS(db_int(tx->farm_id), db_bytes(genesis.bytes, SHA256_SIZE),
                           db_instant(act->at)),
                 err);
}

static bool head_read(struct db_tx *tx, const struct sql_text *sql, struct ledger_head *out,
                      struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    size_t length = 0;

    if (!db_run(tx, sql, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    if (db_rows_count(&rows) != 1)
        return err_set(err, ERR_BUG, "the farm has no ledger");

    const void *hash = db_rows_bytes(&rows, 0, COL_HASH, mem, &length);

    if (length != SHA256_SIZE)
        return err_set(err, ERR_BUG, "the head of the ledger is not a hash");
    out->sequence = db_rows_int(&rows, 0, COL_SEQUENCE);
    memcpy(out->hash.bytes, hash, SHA256_SIZE);
    out->at = db_rows_instant(&rows, 0, COL_AT);

    return true;
}

bool ledger_store_head(struct db_tx *tx, struct ledger_head *out, struct err *err)
{
    return head_read(tx, &sql_ledger_head_look, out, err);
}

bool ledger_store_append(struct db_tx *tx, const struct act *act, enum entry_kind kind,
                         const char *source, const struct entry_field *fields, size_t count,
                         struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ledger_head head = {0};

    if (!head_read(tx, &sql_ledger_head, &head, err))
        return err_wrap(err, "ledger");
    if (act->at < head.at - DAY_US) {
        err_set(err, ERR_CONFLICT, "this machine's clock says %s, but the newest entry is of %s",
                instant_text(mem, act->at), instant_text(mem, head.at));
        return err_hint(err, "Put the clock right, then try again.");
    }

    struct entry entry = {.farm_id = tx->farm_id,
                          .sequence = head.sequence + 1,
                          .at = act->at,
                          .kind = kind,
                          .person = act->person,
                          .source = source,
                          .fields = fields,
                          .field_count = count};
    struct buf bytes = buf_new(mem);

    if (!entry_check(&entry, err))
        return err_wrap(err, "ledger");
    entry_write(&entry, &bytes);

    struct digest hash = chain_hash(&head.hash, bytes.data, bytes.len);

    return db_do(tx, &sql_ledger_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(entry.sequence), db_instant(act->at),
                           db_text(entry_kind_name(kind)), db_text(act->person), db_text(source),
                           db_bytes(bytes.data, bytes.len), db_bytes(hash.bytes, SHA256_SIZE)),
                 err);
}

struct each_entry {
    ledger_each each;
    void *context;
};

static bool entry_row(void *context, const struct db_field *fields, int count, struct err *err)
{
    const struct each_entry *to = context;
    struct digest hash = {0};

    (void)count;
    if (fields[5].length == SHA256_SIZE)
        memcpy(hash.bytes, fields[5].bytes, SHA256_SIZE);

    return to->each(to->context, db_field_int(&fields[0]), fields[4].bytes,
                    (size_t)fields[4].length, &hash, err);
}

bool ledger_store_entries(struct db_tx *tx, ledger_each each, void *context, struct err *err)
{
    struct each_entry to = {each, context};

    return db_each(tx, &sql_ledger_entries, DB_PARAMS(db_int(tx->farm_id)), entry_row, &to, err);
}
